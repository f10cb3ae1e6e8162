import type { Trend } from '../configuration/shape.ts';
import type { TableValue } from '../configuration/values.ts';
import { absoluteBreakpoints } from '../derived/full-load.ts';
import { writtenCells } from '../derived/smoothness.ts';
import type { LineFault } from '../derived/table-lines.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import type { PlacedTable } from './check.ts';
import { passes } from './threshold.ts';

/** One step from a cell to the next along x or y. */
export interface Step {
  readonly from: readonly [row: number, column: number];
  readonly to: readonly [row: number, column: number];
}

/** The largest step against a trend that is ignored, relative to the range of the values in the table. */
export const USUAL_SLACK = 0.02;

function stepsAlong(cells: readonly (readonly number[])[], axis: 'x' | 'y'): Step[] {
  return cells.flatMap((row, r) =>
    row.flatMap((_, c): Step[] => {
      const to = axis === 'x' ? ([r, c + 1] as const) : ([r + 1, c] as const);
      return cells[to[0]]?.[to[1]] === undefined ? [] : [{ from: [r, c], to }];
    }),
  );
}

/** The steps of a table that run against its trend, row by row. */
export function stepsAgainst(table: TableValue, axis: 'x' | 'y', trend: Trend, slack: number): Step[] {
  const cells = writtenCells(table) ?? [];
  const all = cells.flat();
  const least = slack * (maximumOf(all) - minimumOf(all));
  const sign = trend === 'rises' ? -1 : 1;
  const at = ([row, column]: Step['from']): number => cells[row]![column]!;
  return stepsAlong(cells, axis).filter(({ from, to }) => sign * (at(to) - at(from)) > least);
}

/** Manifold pressure (Pa) up to which a lean cruise may make target lambda rise, see `isLeanCruise`. */
export const USUAL_LEAN_CRUISE = 85_000;

/** Whether a step of the target lambda map ends at or below a pressure, where cruise may be leaner than idle. */
export function isLeanCruise(table: TableValue, { to: [row] }: Step, pressure: number): boolean {
  const at = table.node.step === 'target_lambda' ? absoluteBreakpoints(table.y)[row] : undefined;
  return at !== undefined && !passes(at, pressure);
}

export function trendsOf({ shape }: PlacedTable): ['x' | 'y', Trend][] {
  const { x, y } = shape.table?.trend ?? {};
  return [...(x ? [['x', x] as ['x', Trend]] : []), ...(y ? [['y', y] as ['y', Trend]] : [])];
}

/** Whether a step along the axis of a fault begins or ends in one of its lines. */
export function touches({ lines, first, last }: LineFault, { from, to }: Step): boolean {
  const index = lines.axis === 'y' ? 0 : 1;
  return to[index] >= first && from[index] <= last;
}
