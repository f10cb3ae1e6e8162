import { describe, expect, test } from 'vitest';
import { injectorDuty } from '../../shared/derived/fuel.ts';
import {
  advanceAtMaximumRetard,
  dutyAtFullEnrichment,
  lambdaAtFullEnrichment,
  lambdaAtFullLeaning,
  lowestFuelPressure,
} from '../../shared/derived/loops.ts';
import type { PointValue } from '../../shared/derived/operating-point.ts';
import { analyseCase } from '../support/fixture.ts';

/** A value at a point of the complete installation, with some keys overridden. */
function valueAt(definition: PointValue, point: string, changes = ''): number | undefined {
  const text = `based_on: ./complete.engine.yaml\n${changes}`;
  return analyseCase(new Map([['case.engine.yaml', text]]))
    .derivation!.point(point)
    ?.get(definition)?.canonical;
}

describe('the fuel-pressure compensation', () => {
  test('holds the mixture down to the pressure at which the duty meets its limit', () => {
    const lowest = valueAt(lowestFuelPressure, 'take_off')!;
    const rail = `fuel: { rail: { pressure: ${lowest / 1e5} bar } }\n`;
    expect(valueAt(injectorDuty, 'take_off', rail)).toBeCloseTo(0.85, 9);
  });

  test('has no such pressure where the dead time fills the cycle', () => {
    const slow =
      'fuel:\n  injectors:\n    dead_time: { x: { quantity: battery_voltage, unit: V, breakpoints: [8, 16] }, unit: ms, values: [30, 30] }\n';
    expect(valueAt(lowestFuelPressure, 'take_off', slow)).toBeUndefined();
  });
});

describe('the loops at full authority', () => {
  test('add fuel together where both work', () => {
    expect(valueAt(lambdaAtFullEnrichment, 'cruise')).toBeCloseTo(0.95 / (1.12 * 1.1), 12);
  });

  test('leave the lambda loop out at a speed at which it rests', () => {
    const lambda = 'operating_points: { take_off: { lambda: 0.88 } }\n';
    expect(valueAt(lambdaAtFullEnrichment, 'take_off', lambda)).toBeCloseTo(0.8, 12);
  });

  test('leave the lambda loop out while the engine is cold', () => {
    const cold = 'operating_points: { cruise: { coolant_temperature: 40 °C } }\n';
    expect(valueAt(lambdaAtFullEnrichment, 'cruise', cold)).toBeCloseTo(0.95 / 1.1, 12);
  });

  test('need more duty for more fuel', () => {
    expect(valueAt(dutyAtFullEnrichment, 'take_off')!).toBeGreaterThan(valueAt(injectorDuty, 'take_off')!);
  });

  test('stop leaning at the leaner of their limits', () => {
    expect(valueAt(lambdaAtFullLeaning, 'cruise')).toBeCloseTo(1.05, 12);
  });

  test('lean by all their authority where it ends before the limits', () => {
    const lambda = 'operating_points: { cruise: { lambda: 0.8 } }\n';
    expect(valueAt(lambdaAtFullLeaning, 'cruise', lambda)).toBeCloseTo(0.8 / (0.88 * 0.97), 12);
  });

  test('take away all the advance they may', () => {
    const retard = (deg: number) => `closed_loop: { knock: { maximum_retard: ${deg} deg } }\n`;
    const [none, all] = [0, 10].map((deg) => valueAt(advanceAtMaximumRetard, 'take_off', retard(deg))!);
    expect(none! - all!).toBeCloseTo(10, 12);
  });
});
