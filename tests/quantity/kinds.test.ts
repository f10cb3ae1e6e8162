import { describe, expect, test } from 'vitest';
import {
  describeKind,
  dimensionOf,
  exampleUnit,
  isFault,
  kindAccepts,
  measuredQuantities,
  measuredQuantity,
  parseAs,
  splitUnit,
  unitNamed,
  unitTexts,
} from '../../shared/quantity/index.ts';

describe('kinds', () => {
  test('are described by an example that they accept', () => {
    expect(describeKind('absolute pressure')).toBe('an absolute pressure, such as `150 kPa abs`');
    expect(describeKind('any')).toBe('a number with its unit');
    for (const { kind } of measuredQuantities) {
      const example = /`(.+)`/.exec(describeKind(kind))?.[1];
      if (kind !== 'any') expect(isFault(parseAs(kind, example!))).toBe(false);
    }
  });

  test('say their dimension and their usual unit', () => {
    expect(dimensionOf('rail pressure')).toBe('pressure');
    expect(dimensionOf('temperature difference')).toBe('temperature');
    expect(dimensionOf('fuel flow')).toBeUndefined();
    expect(dimensionOf('any')).toBeUndefined();
    expect(exampleUnit('absolute pressure')).toBe('kPa abs');
    expect(exampleUnit('number')).toBe('');
  });

  test('accept units in their reference', () => {
    expect(kindAccepts('gauge pressure', unitNamed('psi'), 'gauge')).toBe(true);
    expect(kindAccepts('gauge pressure', unitNamed('psi'))).toBe(false);
    expect(kindAccepts('length', unitNamed('psi'), 'gauge')).toBe(false);
    expect(kindAccepts('ratio')).toBe(true);
  });

  test('list how their unit may be written', () => {
    expect(unitTexts('temperature difference')).toEqual(['K']);
    expect(unitTexts('number')).toEqual([]);
    const pressures = unitTexts('pressure');
    expect(pressures.slice(0, 3)).toEqual(['kPa abs', 'Pa abs', 'Pa gauge']);
    expect(pressures).not.toContain('kPa');
  });
});

describe('measured quantities', () => {
  test('are those of the format', () => {
    expect(measuredQuantities.map((measured) => measured.name).join(' ')).toBe(
      'engine_speed propeller_speed manifold_pressure ambient_pressure throttle_position ' +
        'ambient_temperature intake_air_temperature charge_temperature cylinder_head_temperature ' +
        'coolant_temperature oil_temperature oil_pressure fuel_pressure fuel_temperature lambda ' +
        'exhaust_gas_temperature knock_intensity battery_voltage wastegate_position ' +
        'wastegate_position_demand ignition_advance injector_pulse_width injector_duty fuel_flow ' +
        'pressure_altitude crank_position cam_position',
    );
  });

  test('are usually read in a unit of their kind', () => {
    for (const { kind, unit } of measuredQuantities) {
      const read = splitUnit(unit);
      expect([unit, kindAccepts(kind, read?.unit, read?.reference)]).toEqual([unit, true]);
    }
  });

  test('may be one of several alike', () => {
    expect(measuredQuantity('exhaust_gas_temperature[2]')).toMatchObject({
      entry: { name: 'exhaust_gas_temperature' },
      index: 2,
    });
    expect(measuredQuantity('lambda')).not.toHaveProperty('index');
  });

  test.each(['boost', 'lambda[0]', 'lambda[x]', 'lambda[1', 'Lambda', ''])('%j is none', (text) => {
    expect(measuredQuantity(text)).toBeUndefined();
  });
});
