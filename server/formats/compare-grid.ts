import { type GridAxis, type GridDifference, hasMoved, type MovedBox } from '../../shared/compare/grid.ts';
import { stepUnit } from '../../shared/compare/step.ts';
import { inUnit } from '../../shared/compare/words.ts';
import { formatNumber } from '../../shared/quantity/index.ts';

/**
 * The deltas of a stretch of a grid as texts: the columns' breakpoints first, then row by row; `·` where
 * nothing moved.
 */
export function boxTable(grid: GridDifference, { rows, columns }: MovedBox): string[][] {
  const across = range(columns);
  const corner = [unitText(stepUnit(grid.unit)), unitText(grid.x.unit)].join(' \\ ');
  const head = [corner, ...across.map((column) => breakpoint(grid.x, column))];
  const body = range(rows).map((row) => {
    const name = grid.y ? `${breakpoint(grid.y, row)} ${grid.y.unit}`.trimEnd() : '';
    return [name, ...across.map((column) => deltaText(grid, row * grid.x.breakpoints.length + column))];
  });
  return [head, ...body];
}

export const unitText = (unit: string): string => unit || 'Δ';

export function breakpoint({ breakpoints, unit }: GridAxis, index: number): string {
  return formatNumber(inUnit(breakpoints[index]!, unit), 6);
}

/** `+1.2`, `−3`, `·` */
export function deltaText(grid: GridDifference, index: number): string {
  if (!hasMoved(grid, index)) return '·';
  const unit = stepUnit(grid.unit);
  const canonical = grid.is[index]! - grid.was[index]!;
  const delta = unit === 'points' ? canonical * 100 : inUnit(canonical, unit);
  return `${delta < 0 ? '−' : '+'}${formatNumber(Math.abs(delta), 2)}`;
}

/** A cell's value in the unit of its table. */
export function cellValue({ unit }: GridDifference, canonical: number): string {
  return formatNumber(inUnit(canonical, unit), 4);
}

export function range([first, last]: readonly [number, number]): number[] {
  return Array.from({ length: last - first + 1 }, (_, i) => first + i);
}
