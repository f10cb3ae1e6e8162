import type { Axis, RelationPoint, RelationValue, TableValue, Value } from '../configuration/values.ts';
import type { Quantity } from '../quantity/index.ts';
import { type Node, plainValue } from '../source/tree.ts';
import type { Leaf } from './item.ts';

/** Whether two numbers differ by no more than the rounding of a change of unit. */
export function near(a: number, b: number, tolerance = 1e-12): boolean {
  return a === b || Math.abs(a - b) <= tolerance * Math.max(Math.abs(a), Math.abs(b));
}

/** Whether two values say the same, in whatever unit, order or layout they are written. */
export function sameLeaf(a: Leaf, b: Leaf): boolean {
  if (!a.value || !b.value) return !a.value && !b.value && sameText(a.node, b.node);
  return sameValue(a.value, b.value);
}

function sameValue(a: Value, b: Value): boolean {
  if (a.type === 'quantity' && b.type === 'quantity') return sameQuantity(a.quantity, b.quantity);
  if (a.type === 'range' && b.type === 'range') return sameQuantity(a.low, b.low) && sameQuantity(a.high, b.high);
  if (a.type === 'text' && b.type === 'text') return a.text === b.text;
  if (a.type === 'flag' && b.type === 'flag') return a.flag === b.flag;
  if (a.type === 'relation' && b.type === 'relation' && isWhole(a) && isWhole(b)) return sameRelation(a, b);
  if (a.type === 'table' && b.type === 'table' && a.cells && b.cells) return sameTable(a, b);
  return a.type === b.type && sameText(a.node, b.node);
}

export function sameQuantity(a: Quantity, b: Quantity): boolean {
  return a.unit?.dimension === b.unit?.dimension || isRatio(a, b)
    ? a.reference === b.reference && near(a.canonical, b.canonical)
    : false;
}

/** `85 %` and a bare `0.85` are the same share. */
function isRatio(a: Quantity, b: Quantity): boolean {
  return [a, b].every(({ unit }) => unit === undefined || unit.dimension === 'ratio');
}

function isWhole({ points, node }: RelationValue): boolean {
  return points.length === node.entries.length;
}

function sameRelation(a: RelationValue, b: RelationValue): boolean {
  const [left, right] = [rising(a), rising(b)];
  return (
    left.length === right.length &&
    left.every(({ from, to }, i) => sameQuantity(from, right[i]!.from) && sameQuantity(to, right[i]!.to))
  );
}

const rising = ({ points }: RelationValue): RelationPoint[] =>
  [...points].sort((a, b) => a.from.canonical - b.from.canonical);

function sameTable(a: TableValue, b: TableValue): boolean {
  return (
    comparable(a, b) &&
    sameBreakpoints(a.x, b.x) &&
    sameBreakpoints(a.y, b.y) &&
    a.cells!.every((cell, i) => near(cell, b.cells![i]!))
  );
}

/** Whether two whole tables say the same kind of thing over the same quantities, so that cells may be held together. */
export function comparable(a: TableValue, b: TableValue): boolean {
  return (
    a.cells !== undefined &&
    b.cells !== undefined &&
    a.kind === b.kind &&
    reference(a) === reference(b) &&
    sameAxis(a.x, b.x) &&
    sameAxis(a.y, b.y)
  );
}

function sameAxis(a: Axis | undefined, b: Axis | undefined): boolean {
  return a?.quantity === b?.quantity && reference(a) === reference(b);
}

/** A bare pressure is a difference, whether that was told or not. */
const reference = (one: TableValue | Axis | undefined): string => one?.reference ?? 'difference';

export function sameBreakpoints(a: Axis | undefined, b: Axis | undefined): boolean {
  if (!a || !b) return a === b;
  return (
    a.breakpoints.length === b.breakpoints.length &&
    a.breakpoints.every((point, i) => near(point, b.breakpoints[i]!))
  );
}

function sameText(a: Node, b: Node): boolean {
  return plainText(a) === plainText(b);
}

/** A tree in one line, its keys in order, so that equal trees have equal texts. */
export function plainText(node: Node): string {
  return JSON.stringify(plainValue(node), (_, value: unknown) => {
    if (typeof value !== 'object' || value === null || Array.isArray(value)) return value;
    return Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)));
  });
}
