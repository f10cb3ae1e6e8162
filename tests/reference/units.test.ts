import { describe, expect, test } from 'vitest';
import { formatQuantity, fromUnit, toUnit, unitNamed, units } from '../../shared/quantity/index.ts';

/**
 * One unit each in its dimension's canonical unit. Source: GNU units 2.22 (Debian units 2.22-2), computed
 * with `units -1 -t -o %.13g "FROM" "TO"`. Its `inHg` is of conventional mercury, its `gallon` the US one,
 * its `hp` the mechanical one.
 */
const GNU_UNITS: readonly [symbol: string, from: string, to: string, value: number][] = [
  ['%', 'percent', '1', 0.01],
  ['um', 'micrometer', 'm', 1e-6],
  ['mm', 'mm', 'm', 0.001],
  ['cm', 'cm', 'm', 0.01],
  ['km', 'km', 'm', 1000],
  ['in', 'inch', 'm', 0.0254],
  ['ft', 'ft', 'm', 0.3048],
  ['mm2', 'mm^2', 'm^2', 1e-6],
  ['cm2', 'cm^2', 'm^2', 0.0001],
  ['in2', 'in^2', 'm^2', 0.00064516],
  ['mm3', 'mm^3', 'm^3', 1e-9],
  ['cc', 'cm^3', 'm^3', 1e-6],
  ['L', 'liter', 'm^3', 0.001],
  ['in3', 'in^3', 'm^3', 1.6387064e-5],
  ['gal', 'gallon', 'm^3', 0.003785411784],
  ['mg', 'mg', 'kg', 1e-6],
  ['g', 'g', 'kg', 0.001],
  ['lb', 'lb', 'kg', 0.45359237],
  ['us', 'microsecond', 's', 1e-6],
  ['ms', 'ms', 's', 0.001],
  ['min', 'minute', 's', 60],
  ['h', 'hour', 's', 3600],
  ['rev/s', 'revolution/s', 'rpm', 60],
  ['km/h', 'km/hour', 'm/s', 0.2777777777778],
  ['kt', 'knot', 'm/s', 0.5144444444444],
  ['mph', 'mile/hour', 'm/s', 0.44704],
  ['ft/min', 'ft/minute', 'm/s', 0.00508],
  ['hPa', 'hPa', 'Pa', 100],
  ['kPa', 'kPa', 'Pa', 1000],
  ['MPa', 'MPa', 'Pa', 1000000],
  ['mbar', 'mbar', 'Pa', 100],
  ['bar', 'bar', 'Pa', 100000],
  ['psi', 'psi', 'Pa', 6894.757293168],
  ['inHg', 'inHg', 'Pa', 3386.388640341],
  ['mmHg', 'mmHg', 'Pa', 133.322387415],
  ['inH2O', 'inH2O', 'Pa', 249.08891],
  ['uV', 'microvolt', 'V', 1e-6],
  ['mV', 'mV', 'V', 0.001],
  ['kV', 'kV', 'V', 1000],
  ['uA', 'microampere', 'A', 1e-6],
  ['mA', 'mA', 'A', 0.001],
  ['mohm', 'milliohm', 'ohm', 0.001],
  ['kohm', 'kiloohm', 'ohm', 1000],
  ['Mohm', 'megaohm', 'ohm', 1000000],
  ['nH', 'nH', 'H', 1e-9],
  ['uH', 'microhenry', 'H', 1e-6],
  ['mH', 'mH', 'H', 0.001],
  ['pF', 'picofarad', 'F', 1e-12],
  ['nF', 'nF', 'F', 1e-9],
  ['uF', 'microfarad', 'F', 1e-6],
  ['mF', 'mF', 'F', 0.001],
  ['kHz', 'kHz', 'Hz', 1000],
  ['MHz', 'MHz', 'Hz', 1000000],
  ['rad', 'radian', 'degree', 57.29577951308],
  ['mW', 'mW', 'W', 0.001],
  ['kW', 'kW', 'W', 1000],
  // From the SI prefix alone, not computed with GNU units.
  ['MW', 'MW', 'W', 1000000],
  ['hp', 'hp', 'W', 745.6998715823],
  ['PS', 'metrichorsepower', 'W', 735.49875],
  ['lbf.ft', 'lbf ft', 'N m', 1.355817948331],
  ['lbf.in', 'lbf in', 'N m', 0.1129848290276],
  ['uJ', 'microjoule', 'J', 1e-6],
  ['mJ', 'mJ', 'J', 0.001],
  ['kJ', 'kJ', 'J', 1000],
  ['MJ', 'MJ', 'J', 1000000],
  ['Wh', 'W hour', 'J', 3600],
  ['kWh', 'kW hour', 'J', 3600000],
  ['kg/L', 'kg/liter', 'kg/m^3', 1000],
  ['g/cm3', 'g/cm^3', 'kg/m^3', 1000],
  ['g/L', 'g/liter', 'kg/m^3', 1],
  ['lb/gal', 'lb/gallon', 'kg/m^3', 119.8264273169],
  ['m3/h', 'm^3/hour', 'm^3/s', 0.0002777777777778],
  ['cc/s', 'cm^3/s', 'm^3/s', 1e-6],
  ['cc/min', 'cm^3/minute', 'm^3/s', 1.666666666667e-8],
  ['L/min', 'liter/minute', 'm^3/s', 1.666666666667e-5],
  ['L/h', 'liter/hour', 'm^3/s', 2.777777777778e-7],
  ['gal/min', 'gallon/minute', 'm^3/s', 6.30901964e-5],
  ['gal/h', 'gallon/hour', 'm^3/s', 1.051503273333e-6],
  ['mg/s', 'mg/s', 'kg/s', 1e-6],
  ['g/s', 'g/s', 'kg/s', 0.001],
  ['g/min', 'g/minute', 'kg/s', 1.666666666667e-5],
  ['kg/min', 'kg/minute', 'kg/s', 0.01666666666667],
  ['kg/h', 'kg/hour', 'kg/s', 0.0002777777777778],
  ['lb/min', 'lb/minute', 'kg/s', 0.007559872833333],
  ['lb/h', 'lb/hour', 'kg/s', 0.0001259978805556],
  ['g/kWh', 'g/(kW hour)', 'kg/J', 2.777777777778e-10],
  ['kg/kWh', 'kg/(kW hour)', 'kg/J', 2.777777777778e-7],
  ['lb/(hp.h)', 'lb/(hp hour)', 'kg/J', 1.689659410672e-7],
  ['kJ/kg', 'kJ/kg', 'J/kg', 1000],
  ['MJ/kg', 'MJ/kg', 'J/kg', 1000000],
  ['kWh/kg', 'kW hour/kg', 'J/kg', 3600000],
  ['Btu/lb', 'btu/lb', 'J/kg', 2326],
  ['byte', 'byte', 'bit', 8],
  ['kbit', 'kilobit', 'bit', 1000],
  ['KiB', 'kibibyte', 'bit', 8192],
  ['kbit/s', 'kilobit/s', 'bit/s', 1000],
  ['Mbit/s', 'megabit/s', 'bit/s', 1000000],
];

/** Points of temperature in kelvins: GNU units 2.22, `units -1 -t -o %.13g "tempF(59)" tempK`. */
const TEMPERATURES: readonly [number: number, symbol: string, kelvins: number][] = [
  [25, '°C', 298.15],
  [-40, '°C', 233.15],
  [-56.5, '°C', 216.65],
  [59, '°F', 288.15],
  [212, '°F', 373.15],
  [1650, '°F', 1172.038888889],
];

/** The canonical units, which are our choice: nothing to convert. */
const CANONICAL =
  `m m2 m3 kg s rpm m/s K Pa V A ohm H F Hz deg deg/s W Nm J kg/m3 m3/s kg/s kg/J J/kg bit bit/s AWG`.split(
    ' ',
  );

/** Conversions between two units of the trade: GNU units 2.22, as above. */
const WORKED: readonly [number: number, from: string, to: string, value: number][] = [
  [30, 'inHg', 'kPa', 101.59165921],
  [29.92126, 'inHg', 'hPa', 1013.25014969],
  [35, 'inHg', 'psi', 17.1903951615],
  [115, 'hp', 'kW', 85.755485232],
  [141, 'PS', 'hp', 139.071129957],
  [9.5, 'gal/h', 'L/h', 35.961411948],
  [0.45, 'lb/(hp.h)', 'g/kWh', 273.724824529],
  [43.5, 'psi', 'kPa', 299.921942253],
  [1.8, 'bar', 'inHg', 53.1539699418],
];

/** Equal to as many digits as GNU units printed, apart from our own rounding. */
const expectSame = (is: number, published: number) =>
  expect(Math.abs(is / published - 1), `${is} for ${published}`).toBeLessThan(1e-9);

describe('units against GNU units', () => {
  test.each(GNU_UNITS)('%s is %s in %s', (symbol, _from, _to, value) => {
    expectSame(fromUnit(1, symbol), value);
    expectSame(toUnit(value, symbol), 1);
  });

  test.each(TEMPERATURES)('%d %s', (number, symbol, kelvins) => {
    expectSame(fromUnit(number, symbol), kelvins);
    expect(toUnit(kelvins, symbol)).toBeCloseTo(number, 8);
  });

  test.each(WORKED)('%d %s in %s', (number, from, to, value) => {
    expectSame(toUnit(fromUnit(number, from), to), value);
  });

  test('every unit of the table is compared or is what we count in', () => {
    const compared = new Set([
      ...GNU_UNITS.map(([symbol]) => symbol),
      ...TEMPERATURES.map(([, symbol]) => symbol),
    ]);
    const others = units.map((unit) => unit.symbol).filter((symbol) => !compared.has(symbol));
    expect(others).toEqual(CANONICAL);
    for (const symbol of CANONICAL) expect(unitNamed(symbol)).toMatchObject({ factor: 1 });
  });

  test('what is written in decimals stays decimal', () => {
    expect(fromUnit(7, '%')).toBe(0.07);
    expect(fromUnit(71.5, 'mm')).toBe(0.0715);
    expect(fromUnit(380, 'cc/min')).toBe(380 / 60e6);
    expect(formatQuantity(fromUnit(0, '°F'), '°C', 4)).toBe('-17.78 °C');
  });
});
