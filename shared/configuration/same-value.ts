import type { Quantity, Tolerance } from '../quantity/index.ts';
import type { Axis, RelationPoint, RelationValue, TableValue, Value } from './values.ts';

/** Two spellings of one number differ at most by rounding. */
const ROUNDING = 1e-9;

export const sameNumber = (a: number, b: number): boolean =>
  a === b || Math.abs(a - b) <= ROUNDING * Math.max(Math.abs(a), Math.abs(b));

function sameNumbers(a: ArrayLike<number>, b: ArrayLike<number>): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (!sameNumber(a[i]!, b[i]!)) return false;
  return true;
}

/** Whether two quantities are equal, however they are written: `0.1 bar` equals `10 kPa`. */
export function sameQuantity(a: Quantity, b: Quantity): boolean {
  return (
    sameNumber(a.canonical, b.canonical) &&
    a.reference === b.reference &&
    dimensionOf(a) === dimensionOf(b) &&
    sameTolerance(a.tolerance, b.tolerance)
  );
}

const sameTolerance = (a: Tolerance | undefined, b: Tolerance | undefined): boolean =>
  a && b ? sameNumber(a.share, b.share) && sameNumber(a.width, b.width) : a === b;

/** `85 %` equals 0.85 without a unit. */
function dimensionOf({ unit }: Quantity): string | undefined {
  return unit?.dimension === 'ratio' ? undefined : unit?.dimension;
}

export function sameAxis(a: Axis | undefined, b: Axis | undefined): boolean {
  if (!a || !b) return a === b;
  return (
    a.quantity === b.quantity && a.reference === b.reference && sameNumbers(a.breakpoints, b.breakpoints)
  );
}

function sameTable(a: TableValue, b: TableValue): boolean {
  if (!a.cells || !b.cells) return false;
  return (
    sameAxis(a.x, b.x) &&
    sameAxis(a.y, b.y) &&
    a.reference === b.reference &&
    sameNumbers(a.cells, b.cells) &&
    sameTolerance(a.tolerance, b.tolerance)
  );
}

/** The order of the points of a relation does not matter. */
const rising = ({ points }: RelationValue): RelationPoint[] =>
  [...points].sort((a, b) => a.from.canonical - b.from.canonical);

/** Whether two lists contain identical items. */
export const sameItems = (a: readonly unknown[], b: readonly unknown[]): boolean =>
  a.length === b.length && a.every((item, i) => item === b[i]);

/** Whether two bound values are equal. An incomplete table equals no other. */
export function sameValue(a: Value | undefined, b: Value | undefined): boolean {
  if (!a || !b) return a === b;
  if (a.type === 'quantity' && b.type === 'quantity') return sameQuantity(a.quantity, b.quantity);
  if (a.type === 'range' && b.type === 'range')
    return sameQuantity(a.low, b.low) && sameQuantity(a.high, b.high);
  if (a.type === 'text' && b.type === 'text') return a.text === b.text;
  if (a.type === 'flag' && b.type === 'flag') return a.flag === b.flag;
  if (a.type === 'table' && b.type === 'table') return sameTable(a, b);
  if (a.type === 'relation' && b.type === 'relation') {
    const [points, others] = [rising(a), rising(b)];
    return (
      points.length === others.length &&
      points.every(
        ({ from, to }, i) => sameQuantity(from, others[i]!.from) && sameQuantity(to, others[i]!.to),
      )
    );
  }
  if (a.type === 'list' && b.type === 'list') {
    const others = b.items as Value[];
    return (
      a.items.length === others.length && (a.items as Value[]).every((item, i) => sameValue(item, others[i]))
    );
  }
  return false;
}
