import { expect, test } from 'vitest';
import { readingPoints } from '../../shared/derived/reading-points.ts';
import { analyseCase } from '../support/fixture.ts';

const { installation } = analyseCase(new Map([['case.engine.yaml', 'based_on: ./complete.engine.yaml\n']]));
const read = (name: string) => readingPoints(installation!, installation!.configuration.sensors![name]!)!;

test('the voltage of a linear sensor lies on the line through its points', () => {
  // 0.5 V at 0 bar and 4.5 V at 10 bar gauge.
  const { unit, points } = read('oil_pressure');
  expect(unit).toBe('bar gauge');
  expect(points.find(({ reading }) => reading === 6)).toMatchObject({ volts: expect.closeTo(2.9, 6) });
  expect(points.every(({ resistance }) => resistance === undefined)).toBe(true);
});

test('the resistance of a thermistor is that of its points, and the voltage that of the divider', () => {
  // 1.18 kohm at 40 °C under 2.49 kohm from 5 V.
  const point = read('coolant_temperature').points.find(({ reading }) => reading === 40)!;
  expect(point.resistance!).toBeCloseTo(1180, 0);
  expect(point.volts).toBeCloseTo((5 * 1.18) / (1.18 + 2.49), 3);
});

test('readings are round and within the fault bounds', () => {
  const { points } = read('manifold_pressure');
  expect(points.length).toBeGreaterThan(4);
  for (const { reading, volts } of points) {
    expect(reading % 10).toBe(0);
    expect(volts).toBeGreaterThanOrEqual(0.2);
    expect(volts).toBeLessThanOrEqual(4.8);
  }
});
