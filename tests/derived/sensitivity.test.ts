import { describe, expect, test } from 'vitest';
import type { Analysis } from '../../shared/analysis.ts';
import { pointValues } from '../../shared/derived/registry.ts';
import { sensitivitiesOf } from '../../shared/derived/sensitivity.ts';
import { completeController, completeEngine } from '../support/command-line.ts';
import { analyseCase } from '../support/fixture.ts';

const analysed = (text: string): Analysis =>
  analyseCase(
    new Map([
      ['case.engine.yaml', text],
      ['complete.controller.yaml', completeController],
    ]),
  );

const sensitivities = (text: string, point: string, id: string) => {
  const { derivation } = analysed(text);
  return sensitivitiesOf(derivation!.point(point)!.get(pointValues.find((one) => one.id === id)!)!);
};

const value = (text: string, point: string, id: string): number =>
  analysed(text)
    .derivation!.point(point)!
    .number(pointValues.find((one) => one.id === id)!)!;

describe('the sensitivity of a value', () => {
  /** A key, how it is written, and the same a thousandth larger, or a tenth of a kelvin warmer. */
  test.each<[at: string, written: string, changed: string, percent: number]>([
    ['engine.bore', 'bore: 84 mm', 'bore: 84.084 mm', 0.1],
    ['fuel.injectors.static_flow', 'static_flow: 340 cc/min', 'static_flow: 340.34 cc/min', 0.1],
    ['operating_points.cruise.speed', 'speed: 4600 rpm', 'speed: 4604.6 rpm', 0.1],
    [
      'operating_points.cruise.manifold_pressure',
      'manifold_pressure: 105 kPa abs',
      'manifold_pressure: 105.105 kPa abs',
      0.1,
    ],
    ['operating_points.cruise.battery_voltage', 'battery_voltage: 13.8 V', 'battery_voltage: 13.8138 V', 0.1],
  ])('to %s is what a small change of it makes', (at, written, changed, percent) => {
    expect(completeEngine).toContain(written);
    for (const id of ['air_mass_per_cycle', 'injector_pulse_width', 'injector_duty']) {
      const found =
        sensitivities(completeEngine, 'cruise', id).find((one) => one.at === at)?.percentPerPercent ?? 0;
      const before = value(completeEngine, 'cruise', id);
      const after = value(completeEngine.replace(written, changed), 'cruise', id);
      const made = (100 * (after / before - 1)) / percent;
      expect(Math.abs(found - made), id).toBeLessThan(0.01 * Math.max(1, Math.abs(made)));
    }
  });

  test('is exact where a formula is a product: air goes with the square of the bore', () => {
    const found = sensitivities(completeEngine, 'cruise', 'air_mass_per_cycle');
    expect(found.find(({ at }) => at === 'engine.bore')!.percentPerPercent).toBeCloseTo(2, 12);
    expect(found.find(({ at }) => at === 'engine.stroke')!.percentPerPercent).toBeCloseTo(1, 12);
  });

  test('of a table is that of all its values together, and the largest comes first', () => {
    const found = sensitivities(completeEngine, 'cruise', 'air_mass_per_cycle');
    expect(found.find(({ at }) => at === 'fuel.volumetric_efficiency')!.percentPerPercent).toBeCloseTo(1, 12);
    const sizes = found.map(({ percentPerPercent }) => Math.abs(percentPerPercent));
    expect(sizes).toEqual([...sizes].sort((a, b) => b - a));
  });

  test('to a temperature is per kelvin', () => {
    const text = completeEngine.replace(
      'battery_voltage: 13.8 V',
      'battery_voltage: 13.8 V\n    isa_deviation: 10 K',
    );
    const found = sensitivities(text, 'cruise', 'ambient_temperature');
    const temperature = value(text, 'cruise', 'ambient_temperature');
    expect(found.find(({ at }) => at.endsWith('isa_deviation'))!.percentPerPercent).toBeCloseTo(
      100 / temperature,
      9,
    );
  });
});
