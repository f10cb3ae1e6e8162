import type { Trend } from '../configuration/shape.ts';
import type { TableValue } from '../configuration/values.ts';
import { absoluteBreakpoints } from '../derived/full-load.ts';
import { writtenCells } from '../derived/smoothness.ts';
import type { LineFault } from '../derived/table-lines.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import type { PlacedTable } from './check.ts';
import { passes } from './threshold.ts';
import type { SettingsOf, Thresholds } from './thresholds.ts';

/** One step from a cell to the next along x or y. */
export interface Step {
  readonly from: readonly [row: number, column: number];
  readonly to: readonly [row: number, column: number];
}

/** The settings of `map-not-monotonic`, for every check that leaves out what that one reports. */
export const trendSettings = {
  id: 'map-not-monotonic',
  settings: {
    slack: {
      kind: 'ratio',
      value: '2 %',
      meaning:
        'Largest step against the trend that is ignored, relative to the range of the values in the table.',
    },
    lean_cruise: {
      kind: 'absolute pressure',
      value: '85 kPa abs',
      meaning:
        'Manifold pressure up to which target lambda may rise, because cruise may be leaner than idle. Higher pressures are high load.',
    },
  },
} as const satisfies SettingsOf;

export type TrendThresholds = Thresholds<keyof typeof trendSettings.settings>;

function stepsAlong(cells: readonly (readonly number[])[], axis: 'x' | 'y'): Step[] {
  return cells.flatMap((row, r) =>
    row.flatMap((_, c): Step[] => {
      const to = axis === 'x' ? ([r, c + 1] as const) : ([r + 1, c] as const);
      return cells[to[0]]?.[to[1]] === undefined ? [] : [{ from: [r, c], to }];
    }),
  );
}

/** The steps of a table that run against its trend, row by row, without those of a lean cruise. */
export function stepsAgainst(
  table: TableValue,
  axis: 'x' | 'y',
  trend: Trend,
  { slack, lean_cruise }: TrendThresholds,
): Step[] {
  const cells = writtenCells(table) ?? [];
  const all = cells.flat();
  const least = slack * (maximumOf(all) - minimumOf(all));
  const sign = trend === 'rises' ? -1 : 1;
  const at = ([row, column]: Step['from']): number => cells[row]![column]!;
  return stepsAlong(cells, axis).filter(
    (step) => sign * (at(step.to) - at(step.from)) > least && !isLeanCruise(table, step, lean_cruise),
  );
}

/** Whether a step of the target lambda map ends at or below a pressure, where cruise may be leaner than idle. */
function isLeanCruise(table: TableValue, { to: [row] }: Step, pressure: number): boolean {
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
