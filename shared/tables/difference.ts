import { lookUp } from '../configuration/lookup.ts';
import type { Axis, TableValue } from '../configuration/values.ts';
import { fromUnit, splitUnit, toUnit } from '../quantity/index.ts';
import { differenceUnit } from './change.ts';
import { spellingOf } from './spelling.ts';
import type { TableView } from './view.ts';

/** Whether two tables say the same thing of the same quantities, so that one can be taken from the other. */
export function areComparable(one: TableValue, other: TableValue): boolean {
  return (
    one.kind === other.kind &&
    one.reference === other.reference &&
    one.isMap === other.isMap &&
    sameScale(one.x, other.x) &&
    sameScale(one.y, other.y)
  );
}

function sameScale(one: Axis | undefined, other: Axis | undefined): boolean {
  return one?.quantity === other?.quantity && one?.reference === other?.reference;
}

/**
 * What a table has more than another, at its own breakpoints and operating points; the other is read between its
 * breakpoints. In the table's unit. Undefined where they can't be compared or the other is not whole.
 */
export function differenceView(view: TableView, table: TableValue, other: TableValue): TableView | undefined {
  if (!areComparable(table, other) || !other.cells) return undefined;
  const unitOfX = table.x?.unit ?? '';
  const unitOfY = table.y?.unit ?? '';
  const lessOther = (number: number, x: number, y: number | null | undefined): number => {
    const read = lookUp(other, canonical(x, unitOfX), y == null ? undefined : canonical(y, unitOfY))!;
    const by = number - written(read, table.unit);
    // Two readings of one number may differ by rounding of the computer's own.
    return Math.abs(by) < 1e-9 * Math.max(1, Math.abs(number)) ? 0 : by;
  };
  const numbers = view.numbers.map((row, r) =>
    row.map((number, c) => lessOther(number, view.x.points[c]!, view.y?.points[r])),
  );
  const { decimals } = spellingOf([...table.rows, ...other.rows].flat().map(({ text }) => text));
  return {
    ...view,
    unit: differenceUnit(view.unit),
    numbers,
    texts: numbers.map((row) => row.map((number) => signed(number, decimals))),
    points: view.points.map((point) => ({ ...point, value: lessOther(point.value, point.x, point.y) })),
  };
}

/** `+1.2`, `−0.3`, and `0` for no difference at all. */
function signed(number: number, decimals: number): string {
  if (number === 0) return '0';
  return `${number < 0 ? '−' : '+'}${Math.abs(number).toFixed(decimals)}`;
}

function canonical(number: number, unit: string): number {
  const known = splitUnit(unit)?.unit;
  return known ? fromUnit(number, known) : number;
}

function written(number: number, unit: string): number {
  const known = splitUnit(unit)?.unit;
  return known ? toUnit(number, known) : number;
}
