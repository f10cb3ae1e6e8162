import { type GridAxis, type GridDifference, hasChanged, type MovedBox } from '../../shared/compare/grid.ts';
import { stepIn, stepUnit } from '../../shared/compare/step.ts';
import { memo } from '../../shared/memo.ts';
import { columnFormat, columnInUnit } from '../../shared/quantity/index.ts';

/**
 * The differences of a part of a grid as texts: first the breakpoints of the columns, then row by row; `·` for an
 * unchanged cell.
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

/** Significant digits of what is written in a table. */
const WRITTEN = 4;

const axisFormat = memo(({ breakpoints, unit }: GridAxis) => columnInUnit(breakpoints, unit, WRITTEN));
const cellFormat = memo(({ was, is, unit }: GridDifference) => columnInUnit([...was, ...is], unit, WRITTEN));
const deltaFormat = memo((grid: GridDifference) =>
  columnFormat(
    grid.moved.map((index) => delta(grid, index)),
    2,
  ),
);

function delta({ was, is, unit }: GridDifference, index: number): number {
  return stepIn(is[index]! - was[index]!, stepUnit(unit));
}

export function breakpoint(axis: GridAxis, index: number): string {
  return axisFormat(axis)(axis.breakpoints[index]!);
}

/** `+1.2`, `−3.0`, `·`: all cells of a grid with the same count of decimals. */
export function deltaText(grid: GridDifference, index: number): string {
  if (!hasChanged(grid, index)) return '·';
  const number = delta(grid, index);
  return `${number < 0 ? '−' : '+'}${deltaFormat(grid)(Math.abs(number))}`;
}

/** A cell's value in the unit of its table, all with the same count of decimals. */
export function cellValue(grid: GridDifference, canonical: number): string {
  return cellFormat(grid)(canonical);
}

export function range([first, last]: readonly [number, number]): number[] {
  return Array.from({ length: last - first + 1 }, (_, i) => first + i);
}
