/**
 * The table of units. Why we do not use a library: js-quantities 1.8.0 and convert-units 2.3.4 round psi to 6.89476
 * kPa, an error of 4e-7; mathjs 15.2.0 lacks inHg and PS and is 18 MB (all measured). None knows pressure references,
 * and none reports the positions of number and unit in the text. What remains would be one factor per unit.
 *
 * Every factor is computed exactly from definitions (NIST SP 811: inch, pound, standard gravity, US gallon), except that of
 * the radian, and is compared
 * with GNU units in tests/reference/units.test.ts.
 */
import { exactOf, nearestDouble, over, type Ratio, reduced, times } from './exact.ts';
import type { Dimension } from './kinds.ts';
import type { Unit } from './unit.ts';

const inch = exactOf(0.0254);
const foot = exactOf(0.3048);
const pound = exactOf(0.45359237);
const gravity = exactOf(9.80665);
const minute = exactOf(60);
const hour = exactOf(3600);
const litre = exactOf(1e-3);
/** The US gallon, 231 cubic inches. */
const gallon = exactOf(3.785411784e-3);
const mile = exactOf(1609.344);
const poundForce = times(pound, gravity);
const psi = over(poundForce, times(inch, inch));
/** Mercury of the conventional 13 595.1 kg/m3. */
const inchOfMercury = product(13595.1, gravity, inch);
/** Mechanical: 550 foot-pounds of force per second. */
const horsepower = product(550, foot, poundForce);
/** Metric: 75 kilogram-force metres per second. */
const metricHorsepower = product(75, gravity);
/** International Table. */
const btu = product(2326, pound);

type Factor = number | Ratio;
type Naming = readonly [factor: Factor, symbol: string, ...aliases: string[]];

/** A number here means its decimal text: 1e-3 is exactly one thousandth. */
function exact(factor: Factor): Ratio {
  return typeof factor === 'number' ? exactOf(factor) : factor;
}

function product(...factors: Factor[]): Ratio {
  return factors.map(exact).reduce(times);
}

const quotientOf = (top: Factor, bottom: Factor): Ratio => over(exact(top), exact(bottom));

function of(dimension: Dimension, ...namings: Naming[]): Unit[] {
  return namings.map(([factor, ...names]) => unitOf(dimension, factor, names));
}

function unitOf(dimension: Dimension, factor: Factor, names: readonly string[], offset?: Factor): Unit {
  const exactFactor = reduced(exact(factor));
  const exactOffset = reduced(exact(offset ?? 0));
  return {
    symbol: names[0]!,
    names,
    dimension,
    factor: nearestDouble(exactFactor),
    exactFactor,
    exactOffset,
    ...(offset !== undefined && { offset: nearestDouble(exactOffset) }),
  };
}

/** `us` may also be written with either of the two micro signs. */
const micro = (base: string) => [`u${base}`, `\u00b5${base}`, `\u03bc${base}`] as const;
const squared = (base: string) => [`${base}2`, `${base}²`, `${base}^2`] as const;
const cubed = (base: string) => [`${base}3`, `${base}³`, `${base}^3`] as const;
/** `kohm` may also be written with the Greek letter or the ohm sign. */
const ohms = (prefix: string) => [`${prefix}ohm`, `${prefix}\u03a9`, `${prefix}\u2126`] as const;

const joins = ['.', '·', '⋅', '*', '-', ' ', ''] as const;

/** `lbf.ft`, `lbf·ft`, `lbf-ft`, …: every way to join a product. */
function joined(lefts: readonly string[], rights: readonly string[]): string[] {
  return lefts.flatMap((left) => rights.flatMap((right) => joins.map((join) => `${left}${join}${right}`)));
}

function quotient(tops: readonly string[], bottoms: readonly string[]): string[] {
  return tops.flatMap((top) => bottoms.map((bottom) => `${top}/${bottom}`));
}

const seconds = ['s', 'sec'];
const minutes = ['min'];
const hours = ['h', 'hr'];
const ccs = ['cc', ...cubed('cm'), 'mL', 'ml'];
const litres = ['L', 'l'];
const gallons = ['gal', 'USgal', 'US gal'];
const pounds = ['lb', 'lbs', 'lbm'];
const kilowattHours = ['kWh', '(kWh)', '(kW h)', '(kW·h)', '(kW.h)', 'kW/h', 'kW·h', 'kW.h'];
const horsepowerHours = ['(hp.h)', '(hp·h)', '(hp h)', '(hp-h)', 'hp/h', 'hp.h', 'hp·h', 'hp-h', 'hph'];

/** A unit with combined spellings, the symbol first. */
const named = (factor: Factor, names: readonly string[]): Naming => [factor, names[0]!, ...names.slice(1)];

export const units: readonly Unit[] = [
  ...of('ratio', [1e-2, '%']),
  ...of(
    'length',
    [1e-6, ...micro('m')],
    [1e-3, 'mm'],
    [1e-2, 'cm'],
    [1, 'm'],
    [1e3, 'km'],
    [inch, 'in', 'inch'],
    [foot, 'ft'],
  ),
  ...of(
    'area',
    [1e-6, ...squared('mm')],
    [1e-4, ...squared('cm')],
    [1, ...squared('m')],
    [product(inch, inch), ...squared('in')],
  ),
  ...of(
    'volume',
    [1e-9, ...cubed('mm')],
    named(1e-6, ccs),
    named(litre, litres),
    [1, ...cubed('m')],
    [product(inch, inch, inch), ...cubed('in'), 'cu in'],
    named(gallon, gallons),
  ),
  ...of('mass', [1e-6, 'mg'], [1e-3, 'g'], [1, 'kg'], named(pound, pounds)),
  ...of(
    'time',
    [1e-6, ...micro('s')],
    [1e-3, 'ms'],
    named(1, seconds),
    named(minute, minutes),
    named(hour, hours),
  ),
  ...of('rotational speed', [1, 'rpm', 'r/min', 'rev/min'], [60, 'rev/s', 'r/s', 'rps']),
  ...of(
    'speed',
    [1, 'm/s'],
    [quotientOf(1, 3.6), 'km/h', 'kph'],
    [quotientOf(1852, hour), 'kt', 'kts', 'kn'],
    [quotientOf(mile, hour), 'mph', 'mi/h'],
    [quotientOf(foot, minute), 'ft/min', 'fpm'],
  ),
  unitOf('temperature', 1, ['°C', 'degC', 'deg C', '℃'], 273.15),
  unitOf('temperature', quotientOf(5, 9), ['°F', 'degF', 'deg F', '℉'], quotientOf(product(459.67, 5), 9)),
  ...of('temperature', [1, 'K']),
  ...of(
    'pressure',
    [1, 'Pa'],
    [1e2, 'hPa'],
    [1e3, 'kPa'],
    [1e6, 'MPa'],
    [1e2, 'mbar'],
    [1e5, 'bar'],
    [psi, 'psi', 'lbf/in2'],
    [inchOfMercury, 'inHg', 'in Hg'],
    [quotientOf(inchOfMercury, 25.4), 'mmHg', 'mm Hg'],
    [product(1e3, gravity, inch), 'inH2O', 'in H2O'],
  ),
  ...of('voltage', [1e-6, ...micro('V')], [1e-3, 'mV'], [1, 'V'], [1e3, 'kV']),
  ...of('current', [1e-6, ...micro('A')], [1e-3, 'mA'], [1, 'A']),
  ...of('resistance', [1e-3, ...ohms('m')], [1, ...ohms('')], [1e3, ...ohms('k')], [1e6, ...ohms('M')]),
  ...of('inductance', [1e-9, 'nH'], [1e-6, ...micro('H')], [1e-3, 'mH'], [1, 'H']),
  ...of('capacitance', [1e-12, 'pF'], [1e-9, 'nF'], [1e-6, ...micro('F')], [1e-3, 'mF'], [1, 'F']),
  ...of('frequency', [1, 'Hz'], [1e3, 'kHz'], [1e6, 'MHz']),
  ...of('angle', [1, 'deg', '°', 'degrees'], [180 / Math.PI, 'rad']),
  ...of('angular speed', [1, 'deg/s', '°/s']),
  ...of(
    'power',
    [1e-3, 'mW'],
    [1, 'W'],
    [1e3, 'kW'],
    [1e6, 'MW'],
    [horsepower, 'hp'],
    [metricHorsepower, 'PS'],
  ),
  ...of(
    'torque',
    [1, 'Nm', 'N.m', 'N·m', 'N⋅m', 'N*m', 'N m'],
    named(product(foot, poundForce), [...joined(['lbf', 'lb'], ['ft']), ...joined(['ft'], ['lbf', 'lb'])]),
    named(product(inch, poundForce), [...joined(['lbf', 'lb'], ['in']), ...joined(['in'], ['lbf', 'lb'])]),
  ),
  ...of(
    'energy',
    [1e-6, ...micro('J')],
    [1e-3, 'mJ'],
    [1, 'J'],
    [1e3, 'kJ'],
    [1e6, 'MJ'],
    [hour, 'Wh'],
    [product(1e3, hour), 'kWh'],
  ),
  ...of(
    'density',
    named(1, quotient(['kg'], cubed('m'))),
    named(1e3, quotient(['kg'], litres)),
    named(1e3, quotient(['g'], [...cubed('cm'), 'cc', 'mL', 'ml'])),
    named(1, quotient(['g'], litres)),
    named(quotientOf(pound, gallon), quotient(pounds, gallons)),
  ),
  ...of(
    'volume flow',
    named(1, quotient(cubed('m'), seconds)),
    named(quotientOf(1, hour), quotient(cubed('m'), hours)),
    named(1e-6, quotient(ccs, seconds)),
    named(quotientOf(1e-6, minute), quotient(ccs, minutes)),
    named(quotientOf(litre, minute), quotient(litres, minutes)),
    named(quotientOf(litre, hour), quotient(litres, hours)),
    named(quotientOf(gallon, minute), quotient(gallons, minutes)),
    named(quotientOf(gallon, hour), [...quotient(gallons, hours), 'gph']),
  ),
  ...of(
    'mass flow',
    named(1e-6, quotient(['mg'], seconds)),
    named(1e-3, quotient(['g'], seconds)),
    named(quotientOf(1e-3, minute), quotient(['g'], minutes)),
    named(1, quotient(['kg'], seconds)),
    named(quotientOf(1, minute), quotient(['kg'], minutes)),
    named(quotientOf(1, hour), quotient(['kg'], hours)),
    named(quotientOf(pound, minute), quotient(pounds, minutes)),
    named(quotientOf(pound, hour), quotient(pounds, hours)),
  ),
  ...of(
    'specific consumption',
    named(quotientOf(1e-6, hour), quotient(['g'], kilowattHours)),
    named(quotientOf(1e-3, hour), quotient(['kg'], kilowattHours)),
    [1, 'kg/J'],
    named(quotientOf(pound, product(horsepower, hour)), quotient(pounds, horsepowerHours)),
  ),
  ...of(
    'specific energy',
    [1, 'J/kg'],
    [1e3, 'kJ/kg'],
    [1e6, 'MJ/kg'],
    [product(1e3, hour), 'kWh/kg'],
    named(quotientOf(btu, pound), quotient(['Btu', 'BTU'], pounds)),
  ),
  ...of('data size', [1, 'bit', 'bits'], [8, 'byte', 'bytes'], [1e3, 'kbit'], [8192, 'KiB']),
  ...of('data rate', [1, 'bit/s', 'bps'], [1e3, 'kbit/s', 'kbps'], [1e6, 'Mbit/s', 'Mbps']),
  ...of('wire gauge', [1, 'AWG']),
];

const byName = new Map(units.flatMap((unit) => unit.names.map((name) => [name, unit] as const)));

/** The unit with exactly this spelling. */
export function unitNamed(text: string): Unit | undefined {
  return byName.get(text);
}

/** The units of a dimension, in the table's order. */
export function unitsOf(dimension: Dimension): Unit[] {
  return units.filter((unit) => unit.dimension === dimension);
}
