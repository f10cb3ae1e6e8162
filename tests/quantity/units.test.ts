import { describe, expect, test } from 'vitest';
import {
  formatUnit,
  nearestUnit,
  splitUnit,
  unitNamed,
  units,
  unitsOf,
} from '../../shared/quantity/index.ts';

describe('the table of units', () => {
  test('no spelling means two units', () => {
    const names = units.flatMap((unit) => unit.names);
    expect(names.filter((name, at) => names.indexOf(name) !== at)).toEqual([]);
  });

  test('the symbol is a spelling', () => {
    for (const unit of units) expect(unitNamed(unit.symbol)).toBe(unit);
  });

  test('knows the spellings of the format', () => {
    const spellings =
      `mm cm m in ft mm2 cm2 cm3 cc L mg g kg lb us ms s min h rpm m/s kt °C °F K degC degF Pa hPa kPa
      bar mbar psi inHg mV V mA A ohm mohm kohm uH mH nF uF Hz kHz deg W kW hp PS Nm lbf.ft mJ J MJ kg/L
      kg/m3 g/cm3 cc/min L/h L/min gal/h g/s g/min kg/h lb/h g/kWh MJ/kg bit byte kbit/s Mbit/s
      AWG %`.split(/\s+/);
    expect(spellings.filter((spelling) => !unitNamed(spelling))).toEqual([]);
  });

  test('case matters', () => {
    expect(unitNamed('mW')).not.toBe(unitNamed('MW'));
    expect(unitNamed('mPa')).toBeUndefined();
    expect(unitNamed('KPA')).toBeUndefined();
  });

  test('lists the units of a dimension', () => {
    expect(unitsOf('torque').map((unit) => unit.symbol)).toEqual(['Nm', 'lbf.ft', 'lbf.in']);
  });
});

describe('the nearest unit', () => {
  test.each([
    ['Kpa', 'kPa'],
    ['Bar', 'bar'],
    ['RPM', 'rpm'],
    ['rmp', 'rpm'],
    ['inhg', 'inHg'],
    ['mPa', 'MPa'],
    ['Mm', 'mm'],
    ['cc/mn', 'cc/min'],
    ['KOhm', 'kohm'],
  ])('%s is %s', (text, symbol) => {
    expect(nearestUnit(text)?.symbol).toBe(symbol);
  });

  test.each(['X', 'furlong', 'parsecs', '', 'k'.repeat(1000)])('%s is none', (text) => {
    expect(nearestUnit(text)).toBeUndefined();
  });

  test('can be asked within a dimension', () => {
    expect(nearestUnit('C', 'temperature')?.symbol).toBe('°C');
    expect(nearestUnit('rpm', 'pressure')).toBeUndefined();
  });
});

describe('a unit beside its reference word', () => {
  test.each(['kPa abs', 'bar gauge', 'psi', 'ms', '°C'])('%s', (text) => {
    const { unit, reference } = splitUnit(text)!;
    expect(formatUnit(unit, reference)).toBe(text);
  });

  test.each(['', 'kPa absolute', 'ms abs', 'J/(kg K)'])('%j is none', (text) => {
    expect(splitUnit(text)).toBeUndefined();
  });
});
