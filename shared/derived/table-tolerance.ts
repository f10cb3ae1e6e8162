import { lookUp } from '../configuration/lookup.ts';
import type { TableValue } from '../configuration/values.ts';
import { memo } from '../memo.ts';
import { halfWidthOf } from '../quantity/index.ts';

/** Half the width of the tolerance of each cell, as a table; zero without a tolerance. The table is complete. */
export const halfWidths = memo(
  (table: TableValue): TableValue => ({
    ...table,
    cells: table.cells!.map((cell) => (table.tolerance ? halfWidthOf(table.tolerance, cell) : 0)),
  }),
);

/** The tolerance (half its width) of a lookup, in canonical units. */
export const toleranceAt = (table: TableValue, x: number, y?: number): number =>
  table.tolerance ? lookUp(halfWidths(table), x, y)! : 0;
