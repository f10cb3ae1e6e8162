import type { Dimension, Kind } from './kinds.ts';
import type { Quantity } from './parse.ts';
import { fromCanonical, toCanonical, type Unit } from './unit.ts';
import { formatUnit, splitUnit } from './unit-text.ts';
import { unitNamed } from './units.ts';

/**
 * A number in the canonical unit as a number in `unit`, which may be named with its reference word.
 * @throws RangeError for a unit that is not in the table
 */
export function toUnit(canonical: number, unit: Unit | string): number {
  return fromCanonical(canonical, unitOrThrow(unit));
}

/**
 * A number in `unit` as a number in the canonical unit.
 * @throws RangeError for a unit that is not in the table
 */
export function fromUnit(number: number, unit: Unit | string): number {
  return toCanonical(number, unitOrThrow(unit));
}

function unitOrThrow(unit: Unit | string): Unit {
  const found = typeof unit === 'string' ? splitUnit(unit)?.unit : unit;
  if (!found) throw new RangeError(`unknown unit "${unit}"`);
  return found;
}

const STATED_DIGITS = 6;
/** A written value converted to another unit gets one digit more than a computed one. */
const CONVERTED_DIGITS = 4;

/**
 * A number for display: `digits` significant digits (the integer part is never rounded), no trailing zeros, an exponent
 * only below 1e-4 and from 1e7. NaN and infinity are written in words.
 */
export function formatNumber(x: number, digits = 3): string {
  if (Number.isNaN(x)) return 'not a number';
  if (!Number.isFinite(x)) return x < 0 ? 'minus infinity' : 'infinity';
  if (x === 0) return '0';
  const magnitude = Math.floor(Math.log10(Math.abs(x)));
  if (magnitude < -4 || magnitude >= 7) {
    const [mantissa, exponent] = x.toExponential(Math.max(0, digits - 1)).split('e');
    return `${withoutTrailingZeros(mantissa!)}e${exponent!.replace('+', '')}`;
  }
  return withoutTrailingZeros(x.toFixed(Math.max(0, digits - 1 - magnitude)));
}

function withoutTrailingZeros(number: string): string {
  return number.includes('.') ? number.replace(/\.?0+$/, '') : number;
}

/**
 * A canonical number in a unit for display: `150 kPa abs`, `85 %`, `1.32 ms`. A compound unit that is
 * not in the table (`1/K`, `J/(kg K)`) is taken to be the SI one that the number is in.
 */
export function formatQuantity(canonical: number, unitText: string, digits = 3): string {
  const unit = splitUnit(unitText)?.unit;
  let number = unit ? fromCanonical(canonical, unit) : canonical;
  // 273.15 K − 273.15 K may leave a rounding error of 6e-14.
  if (unit?.offset) number = Number(number.toFixed(9));
  return `${formatNumber(number, digits)} ${unitText}`.trimEnd();
}

/** A number stated in a file, such as a breakpoint, with as many digits as files have. */
export function formatStated(canonical: number, unitText: string): string {
  return formatQuantity(canonical, unitText, STATED_DIGITS);
}

/**
 * Writes a number so that reading it gives exactly the same number.
 * @throws RangeError for NaN and the infinities, which cannot be written
 */
export function printQuantity(number: number, unitText: string): string {
  if (!Number.isFinite(number)) throw new RangeError('only finite numbers can be formatted');
  return `${Object.is(number, -0) ? '-0' : String(number)} ${unitText}`.trimEnd();
}

/** The units that are usual in the trade for each dimension. */
const usualUnits: Partial<Record<Dimension, readonly string[]>> = {
  length: ['mm', 'm', 'in', 'ft'],
  area: ['mm2', 'cm2', 'in2'],
  volume: ['cc', 'L', 'in3', 'gal'],
  mass: ['mg', 'g', 'kg', 'lb'],
  time: ['us', 'ms', 's', 'min', 'h'],
  speed: ['m/s', 'km/h', 'kt'],
  temperature: ['°C', '°F', 'K'],
  pressure: ['kPa', 'bar', 'psi', 'inHg'],
  voltage: ['mV', 'V'],
  current: ['mA', 'A'],
  resistance: ['mohm', 'ohm', 'kohm'],
  inductance: ['uH', 'mH'],
  capacitance: ['nF', 'uF'],
  frequency: ['Hz', 'kHz'],
  power: ['kW', 'hp', 'PS'],
  torque: ['Nm', 'lbf.ft'],
  energy: ['mJ', 'J'],
  density: ['kg/L', 'kg/m3', 'lb/gal'],
  'volume flow': ['cc/min', 'L/h', 'gal/h'],
  'mass flow': ['g/s', 'kg/h', 'lb/h'],
  'specific consumption': ['g/kWh', 'lb/(hp.h)'],
  'specific energy': ['MJ/kg', 'Btu/lb'],
  'data size': ['bit', 'byte'],
  'data rate': ['kbit/s', 'Mbit/s'],
};

/**
 * The same value in other usual units, for a hover: `1.5 bar abs`, `21.76 psi abs`. Without the kind, kelvins
 * may be a temperature or a difference and stay kelvins, and a number without a unit stays a number.
 */
export function alsoIn(quantity: Quantity, kind?: Kind): string[] {
  const { unit, reference, canonical } = quantity;
  if (!unit) return kind === 'ratio' ? [formatQuantity(canonical, '%', CONVERTED_DIGITS)] : [];
  if (unit.dimension === 'ratio') return [formatNumber(canonical, CONVERTED_DIGITS)];
  if (kind === 'temperature difference' || (unit.symbol === 'K' && kind !== 'temperature')) return [];
  return (usualUnits[unit.dimension] ?? [])
    .map((symbol) => unitNamed(symbol)!)
    .filter((other) => other !== unit && isReadable(canonical, other))
    .map((other) => formatQuantity(canonical, formatUnit(other, reference), CONVERTED_DIGITS));
}

/** Whether a value is readable in this unit: not 0.000076 km, and not zero, which is zero in every unit. */
function isReadable(canonical: number, unit: Unit): boolean {
  if (unit.dimension === 'temperature') return true;
  const size = Math.abs(fromCanonical(canonical, unit));
  return size >= 0.01 && size < 1e5;
}
