import type { QuantityValue } from '../configuration/values.ts';
import {
  decimalTextUntil,
  exactDouble,
  exactNumber,
  exactOf,
  minus,
  nearestDouble,
  over,
  plus,
  type Ratio,
  reduced,
  times,
  ZERO,
} from '../quantity/exact.ts';
import {
  dimensionOf,
  exactFromUnit,
  exactToUnit,
  type Kind,
  kindAccepts,
  type Quantity,
  splitUnit,
  type Unit,
  type UnitReading,
} from '../quantity/index.ts';
import { exactNumberOf, exactValue } from './exact-value.ts';
import type { FieldPart } from './layout.ts';
import { type NumberType, nearestOf } from './number-type.ts';

/** How the counts of a part convert to values: value = zero + count · step, in canonical units. */
export interface Coding {
  readonly type: NumberType;
  readonly step: Ratio;
  readonly zero: Ratio;
}

/**
 * The coding of a part for numbers written in `unitText` (`kPa abs`; empty for numbers without a unit). Without a
 * scale, a count is one canonical unit for values, and one unit of the axis for breakpoints. Undefined if scale or
 * offset does not fit the unit, or if the step is zero. Exact, so that a value halfway between two counts is rounded as its
 * decimal text says.
 */
export function codingOf(part: FieldPart, unitText: string): Coding | undefined {
  if (scaleOfWrongUnit(part, unitText)) return undefined;
  const { type, scale, offset } = part;
  const written = part.name === 'values' ? undefined : splitUnit(unitText)?.unit;
  const unit = scale ? scale.quantity.unit : written;
  // 1 °C of scale is a step of 1 K, not a temperature.
  const step = times(scale ? exactNumberOf(scale) : ONE, unit?.exactFactor ?? ONE);
  if (step.top === 0n) return undefined;
  const zero = offset && !isBareZero(offset.quantity) ? exactValue(offset) : (unit?.exactOffset ?? ZERO);
  return { type, step: reduced(step), zero: reduced(zero) };
}

const ONE: Ratio = { top: 1n, bottom: 1n };

/** A zero without a unit means that there is no offset, whatever the unit. */
const isBareZero = ({ number, unit }: Quantity): boolean => number === 0 && !unit;

/** The scale or offset of a part that does not fit numbers in this unit: its dimension or reference differs. */
export function scaleOfWrongUnit({ scale, offset }: FieldPart, unitText: string): QuantityValue | undefined {
  const written = splitUnit(unitText);
  return [scale, offset].find((value) => {
    if (!value || (value === offset && isBareZero(value.quantity))) return false;
    const { unit, reference } = value.quantity;
    if (dimension(unit) !== dimension(written?.unit)) return true;
    return isPoint(reference) && reference !== written?.reference;
  });
}

/** The scale or offset of a part that does not fit numbers of any of these kinds. */
export function scaleOfWrongKind(
  { scale, offset }: FieldPart,
  kinds: readonly Kind[],
): QuantityValue | undefined {
  return [scale, offset].find((value) => {
    if (!value || (value === offset && isBareZero(value.quantity))) return false;
    return !kinds.some((kind) => fitsKind(kind, value.quantity));
  });
}

function fitsKind(kind: Kind, { unit, reference }: Quantity): boolean {
  if (dimension(unit) === 'number') return kindAccepts(kind, unit) || dimensionOf(kind) === 'number';
  const references = isPoint(reference) ? [reference] : (['absolute', 'gauge', 'difference'] as const);
  return references.some((one) => kindAccepts(kind, unit, one));
}

/**
 * Whether a pressure has a reference. A step needs none; one with a reference fits only pressures with the same one.
 */
const isPoint = (reference: UnitReading['reference']): boolean =>
  reference !== undefined && reference !== 'difference';

/** A ratio is a number without a dimension, whether it is written with `%` or not. */
const dimension = (unit: UnitReading['unit'] | undefined): string =>
  !unit || unit.dimension === 'ratio' ? 'number' : unit.dimension;

/** A value as the controller stores it. */
export interface Stored {
  /** The count, or the floating-point number. */
  readonly raw: number;
  /** The stored value in canonical units. */
  readonly kept: Ratio;
  /** Whether it equals the written value, apart from the rounding of a floating-point type. */
  readonly isExact: boolean;
  /** Whether the value is outside the range of the type; `raw` is then the nearest end of the range. */
  readonly overflows: boolean;
}

/** A relative difference up to this size comes from a 32-bit float, or from the decimals of a text. */
const ARITHMETIC = 1e-7;

/** A count may be so large that such a difference is many steps. */
const SHARE_OF_STEP = 1e-3;

/** The stored form of a value in canonical units. */
export function store(coding: Coding, canonical: Ratio): Stored {
  const { type, step, zero } = coding;
  const { raw, overflows } = nearestOf(type, over(minus(canonical, zero), step));
  const kept = valueOfRaw(coding, raw);
  const difference = minus(kept, canonical);
  const isExact = difference.top === 0n || isArithmetic(coding, difference, canonical);
  return { raw, kept, isExact, overflows };
}

function isArithmetic({ type, step, zero }: Coding, difference: Ratio, canonical: Ratio): boolean {
  const size = (ratio: Ratio) => Math.abs(nearestDouble(ratio));
  const most = ARITHMETIC * Math.max(size(canonical), size(zero));
  return size(difference) <= (type.kind === 'float' ? most : Math.min(most, SHARE_OF_STEP * size(step)));
}

/** More decimals than any text needs to state a 64-bit number. */
export const MOST_DECIMALS = 340;

/** The count of a decimal text in a unit; undefined if the part cannot store it. */
export function rawOf(coding: Coding, text: string, unit: Unit | undefined): number | undefined {
  const exact = exactNumber(text);
  const stored = exact && store(coding, exactFromUnit(exact, unit));
  return stored && !stored.overflows ? stored.raw : undefined;
}

/** The value of a count or floating-point number, in canonical units. */
export const valueOfRaw = ({ type, step, zero }: Coding, raw: number): Ratio =>
  plus(zero, times(type.kind === 'float' ? exactDouble(raw) : exactOf(raw), step));

/** The lowest and highest value that a part can store, in canonical units. */
export function rangeOf(coding: Coding): readonly [low: number, high: number] {
  const { type, step } = coding;
  const ends = [type.lowest, type.highest].map((raw) => nearestDouble(valueOfRaw(coding, raw)));
  const [first, last] = ends as [number, number];
  return step.top < 0n ? [last, first] : [first, last];
}

/** The shortest text, of at least so many decimals, that is stored as a count; undefined if none is. */
export function textOfRaw(
  coding: Coding,
  raw: number,
  unit: Unit | undefined,
  least: number,
): string | undefined {
  const inUnit = exactToUnit(valueOfRaw(coding, raw), unit);
  return decimalTextUntil(inUnit, least, MOST_DECIMALS, (text) => rawOf(coding, text, unit) === raw);
}
