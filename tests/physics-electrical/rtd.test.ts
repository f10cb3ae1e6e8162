import fc from 'fast-check';
import { expect, test } from 'vitest';
import { rtdRange, rtdResistance, rtdTemperature } from '../../shared/physics/rtd.ts';

const [min, max] = rtdRange;

test('the temperature comes back from the resistance within 1e-6 K, over both branches', () => {
  fc.assert(
    fc.property(
      fc.double({ min, max, noNaN: true }),
      fc.constantFrom(100, 500, 1000),
      (temperature, resistanceAtZero) => {
        const back = rtdTemperature(rtdResistance({ resistanceAtZero, temperature }), resistanceAtZero);
        expect(Math.abs(back! - temperature)).toBeLessThan(1e-6);
      },
    ),
  );
});

test('the two branches meet at 0 °C', () => {
  const step =
    rtdResistance({ resistanceAtZero: 100, temperature: 273.15 + 1e-9 }) -
    rtdResistance({ resistanceAtZero: 100, temperature: 273.15 - 1e-9 });
  expect(step).toBeCloseTo(0.39083 * 2e-9, 12);
});

test('the limits come back, and beyond them there is no temperature', () => {
  for (const temperature of rtdRange) {
    expect(rtdTemperature(rtdResistance({ resistanceAtZero: 100, temperature }), 100)).toBeCloseTo(
      temperature,
      6,
    );
  }
  for (const resistance of [18.5, 390.5, -1, 0, Number.NaN])
    expect(rtdTemperature(resistance, 100)).toBeUndefined();
  expect(rtdTemperature(100, 0)).toBeUndefined();
});
