import { hull, type Interval } from '../arithmetic/interval.ts';
import { lookUp } from '../configuration/lookup.ts';
import type { TableValue } from '../configuration/values.ts';
import { memo } from '../memo.ts';
import { halfWidthOf } from '../quantity/index.ts';
import { type TableRange, tableRange } from './table-range.ts';

/**
 * A table whose values may be off by their tolerance, all in the same direction: `shift` is −1 where all are at the low
 * end, 1 where all are at the high end.
 */
export interface TolerantRange extends TableRange {
  readonly alongShift: Interval;
}

/** Encloses the results of a lookup over a box of the axes and of the shift. The table is complete. */
export function tolerantTableRange(
  table: TableValue,
  shift: Interval,
  x: Interval,
  y?: Interval,
): TolerantRange {
  const low = tableRange(shifted(table, shift.low), x, y)!;
  const high = shift.low === shift.high ? low : tableRange(shifted(table, shift.high), x, y)!;
  // Values and slopes are linear in the shift, so its ends enclose them.
  return {
    value: hull(low.value, high.value),
    alongX: hull(low.alongX, high.alongX),
    alongY: hull(low.alongY, high.alongY),
    alongShift: tableRange(halfWidths(table), x, y)!.value,
  };
}

/** The tolerance (half its width) of a lookup, in canonical units. */
export const toleranceAt = (table: TableValue, x: number, y?: number): number =>
  table.tolerance ? lookUp(halfWidths(table), x, y)! : 0;

/** Half the width of the tolerance of each cell, as a table. */
const halfWidths = memo(
  (table: TableValue): TableValue => ({
    ...table,
    cells: table.cells!.map((cell) => halfWidthOf(table.tolerance!, cell)),
  }),
);

/** Boxes end at the ends of the tolerance nearly always, so these tables are kept. */
const shiftedToEnd = memo((table: TableValue, shift: number) => shiftedBy(table, shift));

const shifted = (table: TableValue, shift: number): TableValue =>
  Math.abs(shift) === 1 ? shiftedToEnd(table, shift) : shiftedBy(table, shift);

function shiftedBy(table: TableValue, shift: number): TableValue {
  const widths = halfWidths(table).cells!;
  return { ...table, cells: table.cells!.map((cell, i) => cell + shift * widths[i]!) };
}
