import type { QuantityValue } from '../configuration/values.ts';
import {
  dimensionOf,
  fromUnit,
  type Kind,
  kindAccepts,
  type Quantity,
  splitUnit,
  type UnitReading,
} from '../quantity/index.ts';
import type { FieldPart } from './layout.ts';
import { type NumberType, nearestOf } from './number-type.ts';

/** What the counts of a part mean: value = zero + count · step, in canonical units. */
export interface Coding {
  readonly type: NumberType;
  readonly step: number;
  readonly zero: number;
}

/**
 * How a part keeps numbers that are written in `unitText` (`kPa abs`; empty for bare ones). Without a scale a count of
 * the values is worth one canonical unit, and a count of a breakpoint one of the axis's own. Undefined where scale or
 * offset is no measure of such a number, or where a count is worth nothing.
 */
export function codingOf(part: FieldPart, unitText: string): Coding | undefined {
  if (scaleOfWrongUnit(part, unitText)) return undefined;
  const { type, scale, offset } = part;
  const written = part.name === 'values' ? undefined : splitUnit(unitText)?.unit;
  const unit = scale ? scale.quantity.unit : written;
  // 1 °C of scale is a step of 1 K, not a temperature.
  const step = (scale?.quantity.number ?? 1) * (unit?.factor ?? 1);
  if (step === 0) return undefined;
  const start = unit ? fromUnit(0, unit) : 0;
  return { type, step, zero: offset && !isBareZero(offset.quantity) ? offset.canonical : start };
}

/** A zero without a unit says no more than that there is no offset. */
const isBareZero = ({ number, unit }: Quantity): boolean => number === 0 && !unit;

/** The scale or offset of a part that is no measure of numbers in this unit: of another dimension or reference. */
export function scaleOfWrongUnit({ scale, offset }: FieldPart, unitText: string): QuantityValue | undefined {
  const written = splitUnit(unitText);
  return [scale, offset].find((value) => {
    if (!value || (value === offset && isBareZero(value.quantity))) return false;
    const { unit, reference } = value.quantity;
    if (dimension(unit) !== dimension(written?.unit)) return true;
    return isPoint(reference) && reference !== written?.reference;
  });
}

/** The scale or offset of a part that is no measure of any number of these kinds. */
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

/** A step of pressure needs no reference; one that states it speaks of such pressures alone. */
const isPoint = (reference: UnitReading['reference']): boolean =>
  reference !== undefined && reference !== 'difference';

/** A ratio is a number, `%` or not. */
const dimension = (unit: UnitReading['unit'] | undefined): string =>
  !unit || unit.dimension === 'ratio' ? 'number' : unit.dimension;

/** What becomes of a value in memory. */
export interface Stored {
  /** The count, or the floating-point number. */
  readonly raw: number;
  /** The value that it stands for, in canonical units. */
  readonly canonical: number;
  /** Kept as written, but for the rounding of the computer's own arithmetic. */
  readonly isExact: boolean;
  /** The value lies outside what the type holds; `raw` is then the nearer end. */
  readonly overflows: boolean;
}

/** Rounding of this share comes from arithmetic, or from a number of 32 bits, and says nothing about the value. */
const ARITHMETIC = 1e-7;

/** The count for a value in canonical units and what it stands for. */
export function store({ type, step, zero }: Coding, canonical: number): Stored {
  const wanted = (canonical - zero) / step;
  const raw = nearestOf(type, wanted);
  const kept = zero + raw * step;
  const isExact = Math.abs(kept - canonical) <= ARITHMETIC * Math.max(Math.abs(canonical), Math.abs(zero));
  const rounding = type.kind === 'float' ? 0 : 0.5;
  const isBeyond = wanted > type.highest + rounding || wanted < type.lowest - rounding;
  return { raw, canonical: kept, isExact, overflows: isBeyond && !isExact };
}

/** The least and the greatest value that a part can keep, in canonical units. */
export function rangeOf({ type, step, zero }: Coding): readonly [low: number, high: number] {
  const ends = [type.lowest, type.highest].map((raw) => zero + raw * step) as [number, number];
  return step < 0 ? [ends[1], ends[0]] : ends;
}
