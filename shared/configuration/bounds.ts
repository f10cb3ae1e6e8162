import { memo } from '../memo.ts';
import { SEA_LEVEL_PRESSURE } from '../physics/atmosphere.ts';
import {
  exampleUnit,
  fromUnit,
  isFault,
  type Kind,
  kindAccepts,
  type PressureReference,
  parseAs,
  parseRange,
  printQuantity,
  type Quantity,
  splitUnit,
  unitTexts,
} from '../quantity/index.ts';
import type { ScalarNode } from '../source/tree.ts';
import type { Shape } from './shape.ts';
import type { TableValue } from './values.ts';

/** A range stated in a schema, as written and in canonical units. */
export interface Bounds {
  readonly text: string;
  readonly low: number;
  readonly high: number;
  readonly reference: PressureReference | undefined;
}

/** A number that can be compared with bounds. */
export interface Comparable {
  readonly canonical: number;
  readonly reference?: PressureReference | undefined;
}

/** The usual or physical range of a place; undefined if none is stated for this kind of value. */
export const boundsOf = memo((shape: Shape, which: 'usual' | 'physical', kind: Kind): Bounds | undefined => {
  const text = shape[which];
  const range = text === undefined ? undefined : parseRange(kind, text);
  if (!range || isFault(range)) return undefined;
  const { low, high } = range;
  return { text: text!, low: low.canonical, high: high.canonical, reference: high.reference };
});

/**
 * The unit in which such a value is usually written: that of its usual range or, without one, that of the kind's
 * example.
 */
export function customaryUnit(shape: Shape, kind: Kind): string {
  return unitOfBounds(shape.usual) || exampleUnit(kind);
}

/**
 * A value in the pressure reference of the bounds; gauge and absolute pressures are converted at standard sea level.
 */
export function onScaleOf(bounds: Bounds, { canonical, reference }: Comparable): number {
  if (bounds.reference === 'absolute' && reference === 'gauge') return canonical + SEA_LEVEL_PRESSURE;
  if (bounds.reference === 'gauge' && reference === 'absolute') return canonical - SEA_LEVEL_PRESSURE;
  return canonical;
}

/** Allows for rounding, so that a value at a bound is inside in any unit: 100 % as well as 1.0. */
export function isInside(bounds: Bounds, value: Comparable): boolean {
  const at = onScaleOf(bounds, value);
  const trifle = 1e-9 * Math.max(Math.abs(bounds.low), Math.abs(bounds.high));
  return at >= bounds.low - trifle && at <= bounds.high + trifle;
}

/**
 * The units, as written, in which this number would be in the usual range, the likeliest first: an altitude that is
 * usual in feet is more likely meant in metres than in millimetres.
 */
export function usualUnits(kind: Kind, bounds: Bounds, number: number): string[] {
  const texts = kind === 'ratio' ? ['%', ''] : unitTexts(kind);
  const customary = splitUnit(unitOfBounds(bounds.text))?.unit;
  const distance = (text: string): number => {
    const unit = splitUnit(text)?.unit;
    return unit && customary ? Math.abs(Math.log(unit.factor / customary.factor)) : 0;
  };
  return texts
    .filter((text) => {
      const read = parseAs(kind, printQuantity(number, text));
      return !isFault(read) && isInside(bounds, read);
    })
    .sort((one, other) => distance(one) - distance(other));
}

/** `kPa abs` of `20..400 kPa abs`; empty for a range without a unit. */
export const unitOfBounds = (text: string | undefined): string =>
  /^\S+\.\.\S+ (.+)$/.exec(text ?? '')?.[1] ?? '';

/**
 * The number with its decimal point moved by as few places as possible into the bounds; undefined if three are not
 * enough.
 */
export function shiftedNumber(bounds: Bounds, quantity: Quantity): string | undefined {
  for (const shift of [1, 2, 3]) {
    for (const factor of [10 ** -shift, 10 ** shift]) {
      const number = Number((quantity.number * factor).toPrecision(12));
      const canonical = quantity.unit ? fromUnit(number, quantity.unit) : number;
      if (isInside(bounds, { ...quantity, canonical })) return printQuantity(number, '');
    }
  }
  return undefined;
}

/** The cells of a table in canonical units, even if the table is incomplete. */
export function cellsOf(table: TableValue): { node: ScalarNode; canonical: number }[] {
  const unit = splitUnit(table.unit)?.unit;
  if (!unit && !kindAccepts(table.kind)) return [];
  const cells: { node: ScalarNode; canonical: number }[] = [];
  for (const row of table.rows) {
    for (const node of row) {
      const number = node.value;
      if (typeof number !== 'number' || !Number.isFinite(number)) continue;
      cells.push({ node, canonical: unit ? fromUnit(number, unit) : number });
    }
  }
  return cells;
}
