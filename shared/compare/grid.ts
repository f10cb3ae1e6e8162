import { lookUp } from '../configuration/lookup.ts';
import { sameNumber } from '../configuration/same-value.ts';
import type { Axis, TableValue } from '../configuration/values.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { memo } from '../memo.ts';
import { comparable, sameBreakpoints } from './same.ts';

/**
 * The cells of two tables compared on common axes. Numbers in canonical units, row after row.
 */
export interface GridDifference {
  readonly x: GridAxis;
  readonly y: GridAxis | undefined;
  /** The unit of the cells as the new table writes it. */
  readonly unit: string;
  readonly was: readonly number[];
  readonly is: readonly number[];
  /** The indexes of the cells that changed. */
  readonly moved: readonly number[];
  readonly rise: number | undefined;
  readonly fall: number | undefined;
  /** Whether the breakpoints differ, so that both tables were read at the breakpoints of both. */
  readonly resampled: boolean;
}

export interface GridAxis {
  readonly quantity: string;
  readonly unit: string;
  readonly breakpoints: readonly number[];
  /** The range that both tables cover; beyond it one of them holds its edge value. */
  readonly common: readonly [low: number, high: number];
}

/** Rounding error of interpolation, relative to the table's largest value. */
const INTERPOLATION = 1e-9;

/**
 * Compares two tables. If their breakpoints differ, both are interpolated, as the controller does, at the breakpoints
 * of both: between those, both tables are linear along each axis, so they differ most at one of them. Undefined if they
 * cannot be compared: incomplete, other quantities, another pressure reference.
 */
export function gridDifference(was: TableValue, is: TableValue): GridDifference | undefined {
  if (!comparable(was, is)) return undefined;
  const x = gridAxis(was.x!, is.x!);
  const y = is.y && gridAxis(was.y!, is.y);
  const resampled = !sameBreakpoints(was, is);
  const before = resampled ? readAt(was, x, y) : [...was.cells!];
  const after = resampled ? readAt(is, x, y) : [...is.cells!];
  const size = maximumOf([...before, ...after].map(Math.abs));
  const isMoved = (i: number) =>
    resampled ? Math.abs(after[i]! - before[i]!) > INTERPOLATION * size : !sameNumber(after[i]!, before[i]!);
  const moved = [...before.keys()].filter(isMoved);
  const step = (i: number) => after[i]! - before[i]!;
  const extreme = (sign: number) =>
    moved
      .filter((i) => step(i) * sign > 0)
      .reduce<number | undefined>((most, i) => {
        return most === undefined || step(i) * sign > step(most) * sign ? i : most;
      }, undefined);
  return {
    x,
    y,
    unit: is.unit,
    was: before,
    is: after,
    moved,
    rise: extreme(1),
    fall: extreme(-1),
    resampled,
  };
}

function readAt(table: TableValue, x: GridAxis, y: GridAxis | undefined): number[] {
  const rows = y?.breakpoints ?? [undefined];
  return rows.flatMap((row) => x.breakpoints.map((column) => lookUp(table, column, row)!));
}

function gridAxis(was: Axis, is: Axis): GridAxis {
  const breakpoints: number[] = [];
  for (const point of [...was.breakpoints, ...is.breakpoints].sort((a, b) => a - b)) {
    const last = breakpoints.at(-1);
    if (last === undefined || !sameNumber(last, point)) breakpoints.push(point);
  }
  const low = Math.max(was.breakpoints[0]!, is.breakpoints[0]!);
  const high = Math.min(was.breakpoints.at(-1)!, is.breakpoints.at(-1)!);
  return { quantity: is.quantity, unit: is.unit, breakpoints, common: [low, high] };
}

const movedCells = memo(({ moved }: GridDifference): ReadonlySet<number> => new Set(moved));

/** Whether a cell of the grid changed. */
export const hasChanged = (grid: GridDifference, index: number): boolean => movedCells(grid).has(index);

/** The row and column of a cell of the grid. */
export function placeInGrid({ x }: GridDifference, index: number): { row: number; column: number } {
  const width = x.breakpoints.length;
  return { row: Math.floor(index / width), column: index % width };
}

/** The rows and columns that contain every changed cell, both ends included. */
export interface MovedBox {
  readonly rows: readonly [first: number, last: number];
  readonly columns: readonly [first: number, last: number];
}

export function movedBox(grid: GridDifference): MovedBox | undefined {
  if (grid.moved.length === 0) return undefined;
  const places = grid.moved.map((index) => placeInGrid(grid, index));
  const span = (numbers: readonly number[]) => [minimumOf(numbers), maximumOf(numbers)] as const;
  return { rows: span(places.map(({ row }) => row)), columns: span(places.map(({ column }) => column)) };
}
