import { lookUp } from '../configuration/lookup.ts';
import type { Axis, TableValue } from '../configuration/values.ts';
import { fromUnit, splitUnit, toUnit } from '../quantity/index.ts';
import { spellingOf } from '../spelling.ts';
import { differenceUnit } from './change.ts';
import type { TableView } from './view.ts';

/** Whether two tables hold the same quantity over the same axes, so that one can be subtracted from the other. */
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
 * A table minus another one, at the breakpoints and operating points of the first; the other is interpolated. In the
 * first table's unit. Undefined if they cannot be compared or the other is incomplete.
 */
export function differenceView(view: TableView, table: TableValue, other: TableValue): TableView | undefined {
  if (!areComparable(table, other) || !other.cells) return undefined;
  const unitOfX = table.x?.unit ?? '';
  const unitOfY = table.y?.unit ?? '';
  const minusOther = (number: number, x: number, y: number | null | undefined): number => {
    const read = lookUp(other, canonical(x, unitOfX), y == null ? undefined : canonical(y, unitOfY))!;
    const by = number - written(read, table.unit);
    // Floating-point rounding is not a difference.
    return Math.abs(by) < 1e-9 * Math.max(1, Math.abs(number)) ? 0 : by;
  };
  const numbers = view.numbers.map((row, r) =>
    row.map((number, c) => minusOther(number, view.x.points[c]!, view.y?.points[r])),
  );
  const { decimals } = spellingOf([...table.rows, ...other.rows].flat().map(({ text }) => text));
  return {
    ...view,
    label: `${view.label} difference`,
    unit: differenceUnit(view.unit),
    numbers,
    texts: numbers.map((row) => row.map((number) => signed(number, decimals))),
    points: view.points.map((point) => ({ ...point, value: minusOther(point.value, point.x, point.y) })),
  };
}

/** `+1.2`, `−0.3`; `0` without a sign. */
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
