import { describe, expect, test } from 'vitest';
import { faultedLambda, faultedPoint, sensorFaults } from '../../shared/derived/faults.ts';
import { targetLambda } from '../../shared/derived/fuel.ts';
import { allValues } from '../../shared/derived/registry.ts';
import { analyseCase } from '../support/fixture.ts';

function analysed(changes = '') {
  const analysis = analyseCase(
    new Map([['case.engine.yaml', `based_on: ./complete.engine.yaml\n${changes}`]]),
  );
  return { faults: sensorFaults(analysis.installation!), derivation: analysis.derivation! };
}

/** Lambda at take-off with a sensor failed and replaced by the substitute that the changes define. */
function lambdaWith(sensor: string, changes: string): number {
  const { faults, derivation } = analysed(changes);
  const fault = faults.find((one) => one.name === sensor && one.case === 'substitute')!;
  return faultedLambda(faultedPoint(derivation.point('take_off')!, fault))!.canonical;
}

const sound = analysed().derivation.point('take_off')!.get(targetLambda)!.canonical;

describe('a failed sensor', () => {
  test('changes nothing where its substitute is what there is', () => {
    const same = 'sensors: { manifold_pressure: { substitute: 140 kPa abs } }\n';
    expect(lambdaWith('manifold_pressure', same)).toBeCloseTo(sound, 9);
  });

  test('leans the engine where less pressure stands in, and enriches it where more does', () => {
    const at = (kPa: number) => `sensors: { manifold_pressure: { substitute: ${kPa} kPa abs } }\n`;
    expect(lambdaWith('manifold_pressure', at(100))).toBeGreaterThan(sound * 1.4);
    expect(lambdaWith('manifold_pressure', at(170))).toBeLessThan(sound * 0.85);
  });

  test('of charge temperature leans by the absolute temperature, apart from the correction curve', () => {
    const hot = (flat: boolean) =>
      `${flat ? 'fuel: { charge_temperature_correction: { x: { quantity: charge_temperature, unit: °C, breakpoints: [0, 80] }, unit: "%", values: [100, 100] } }\n' : ''}sensors: { charge_temperature: { fault_outside: 0.1..4.9 V, substitute: 90 °C } }\n`;
    const { derivation } = analysed(hot(true));
    const charge = allValues(derivation).find(
      ({ id, at }) => id === 'charge_temperature' && /take_off/.test(at),
    )!;
    expect(lambdaWith('charge_temperature', hot(true))).toBeCloseTo((sound * 363.15) / charge.canonical, 9);
  });

  // Take-off is at sea level, where gauge pressure is 101.325 kPa less.
  test('whose wire breaks unnoticed means the same pressure, scaled as absolute or as gauge pressure', () => {
    const lambdaAtHighEnd = (scaling: string) => {
      const { faults, derivation } = analysed(
        `remove: [sensors.manifold_pressure.fault_outside]\nsensors: { manifold_pressure: { scaling: ${scaling} } }\n`,
      );
      const fault = faults.find((one) => one.name === 'manifold_pressure' && one.case === 'high')!;
      return faultedLambda(faultedPoint(derivation.point('take_off')!, fault))!.canonical;
    };
    const absolute = lambdaAtHighEnd('{ 0.5 V: 20 kPa abs, 4.5 V: 250 kPa abs }');
    const gauge = lambdaAtHighEnd('{ 0.5 V: -81.325 kPa gauge, 4.5 V: 148.675 kPa gauge }');
    expect(absolute).toBeLessThan(sound * 0.7);
    expect(gauge).toBeCloseTo(absolute, 9);
  });

  test('of fuel pressure leans by the root of the pressure that is assumed', () => {
    const high = 'sensors: { fuel_pressure: { substitute: 4.32 bar } }\n';
    expect(lambdaWith('fuel_pressure', high)).toBeCloseTo(sound * 1.2, 9);
  });

  test('of fuel pressure does nothing where no loop compensates for it', () => {
    const { faults } = analysed('closed_loop: { fuel_pressure: { compensate: false } }\n');
    expect(faults.map(({ name }) => name)).not.toContain('fuel_pressure');
  });

  test('of the throttle moves the boost target, and the mixture follows the pressure that comes', () => {
    const { faults, derivation } = analysed('sensors:\n  throttle_position: { substitute: 50 % }\n');
    const fault = faults.find(({ name }) => name === 'throttle_position')!;
    const values = allValues(derivation).filter(({ id }) => id.endsWith(`_with_${fault.name}_substitute`));
    const pressure = values.find(({ id, at }) => id.startsWith('manifold_pressure') && /take_off/.test(at));
    expect(pressure!.canonical).toBeCloseTo(105000, 3);
  });
});

test('healthy points are untouched by the faults that are looked at', () => {
  const { faults, derivation } = analysed();
  const point = derivation.point('take_off')!;
  const before = point.get(targetLambda)!.canonical;
  for (const fault of faults) faultedLambda(faultedPoint(point, fault));
  expect(point.get(targetLambda)!.canonical).toBe(before);
  expect(point.conditions).not.toHaveProperty('railPressure');
});
