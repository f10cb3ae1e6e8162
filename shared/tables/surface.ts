/**
 * Arithmetic on the cells of a table. Numbers are in the unit of the table, row by row; a curve has one row. Uneven spacing
 * of the breakpoints is taken into account.
 */
export type Cells = readonly (readonly number[])[];

/** A rectangle of cells, all four edges included. */
export interface Rectangle {
  readonly top: number;
  readonly bottom: number;
  readonly left: number;
  readonly right: number;
}

/** The rectangle that two cells span. */
export function rectangleOf(
  from: { readonly row: number; readonly column: number },
  to: { readonly row: number; readonly column: number },
): Rectangle {
  return {
    top: Math.min(from.row, to.row),
    bottom: Math.max(from.row, to.row),
    left: Math.min(from.column, to.column),
    right: Math.max(from.column, to.column),
  };
}

export function inside(area: Rectangle, row: number, column: number): boolean {
  return row >= area.top && row <= area.bottom && column >= area.left && column <= area.right;
}

export const heightOf = ({ top, bottom }: Rectangle): number => bottom - top + 1;
export const widthOf = ({ left, right }: Rectangle): number => right - left + 1;

/** Applies `change` to each cell of the rectangle; the others stay. */
export function mapCells(
  cells: Cells,
  area: Rectangle,
  change: (cell: number, row: number, column: number) => number,
): number[][] {
  return cells.map((row, r) => row.map((cell, c) => (inside(area, r, c) ? change(cell, r, c) : cell)));
}

/** Bilinear interpolation of the rectangle between its four corners. */
export function fillBetweenCorners(
  cells: Cells,
  area: Rectangle,
  x: readonly number[],
  y: readonly number[],
): number[][] {
  const { top, bottom, left, right } = area;
  const across = (row: number, column: number) =>
    between(cells[row]![left]!, cells[row]![right]!, share(x, left, right, column));
  return mapCells(cells, area, (_, row, column) =>
    between(across(top, column), across(bottom, column), share(y, top, bottom, row)),
  );
}

/**
 * Moves each cell half way to the value interpolated between its neighbours, averaged over the directions in which it has
 * neighbours on both sides. A surface that is linear along x and along y does not change.
 */
export function smooth(
  cells: Cells,
  area: Rectangle,
  x: readonly number[],
  y: readonly number[],
): number[][] {
  return mapCells(cells, area, (cell, row, column) => {
    const spanned = [
      ...acrossNeighbours(cells[row]!, x, column),
      ...acrossNeighbours(
        cells.map((line) => line[column]!),
        y,
        row,
      ),
    ];
    if (spanned.length === 0) return cell;
    return between(cell, spanned.reduce((sum, one) => sum + one, 0) / spanned.length, 0.5);
  });
}

function acrossNeighbours(line: readonly number[], at: readonly number[], i: number): number[] {
  if (i === 0 || i === line.length - 1) return [];
  return [between(line[i - 1]!, line[i + 1]!, share(at, i - 1, i + 1, i))];
}

/** The rows interpolated at other x breakpoints: linear between breakpoints, constant outside. */
export function resampleColumns(
  cells: Cells,
  points: readonly number[],
  wanted: readonly number[],
): number[][] {
  return cells.map((row) => wanted.map((at) => readLine(row, points, at)));
}

export function transpose(cells: Cells): number[][] {
  return (cells[0] ?? []).map((_, column) => cells.map((row) => row[column]!));
}

/** A line of cells interpolated at a position: linear between breakpoints, constant outside. */
export function readLine(line: readonly number[], points: readonly number[], at: number): number {
  const last = points.length - 1;
  if (at <= points[0]!) return line[0]!;
  if (at >= points[last]!) return line[last]!;
  const right = points.findIndex((point) => point > at);
  return between(
    line[right - 1]!,
    line[right]!,
    (at - points[right - 1]!) / (points[right]! - points[right - 1]!),
  );
}

function share(points: readonly number[], from: number, to: number, at: number): number {
  return from === to ? 0 : (points[at]! - points[from]!) / (points[to]! - points[from]!);
}

function between(a: number, b: number, share: number): number {
  return a === b ? a : a + (b - a) * share;
}
