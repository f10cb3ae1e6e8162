import type { TableValue } from '../configuration/values.ts';
import { memo } from '../memo.ts';

/**
 * The value expected in a cell from the cells around it. Each way to continue the surface into the cell (between two
 * neighbours, from two cells on one side, around a corner) gives a number; a knee, a plateau or a ridge agrees with at
 * least one of them, a typing error with none.
 */
export interface Expectation {
  readonly row: number;
  readonly column: number;
  readonly value: number;
  /** The median of the continuations: the value of a smooth table. */
  readonly smooth: number;
  /** The lowest and highest of the continuations. */
  readonly low: number;
  readonly high: number;
  /** An end of a curve or a corner of a map, with neighbours on one side only: a bend may be intended. */
  readonly oneSided: boolean;
}

/** Smoothness of a table. All numbers in the table's own unit, as written. */
export interface Smoothness {
  readonly expectations: readonly Expectation[];
  /**
   * Robust standard deviation of the cells from their smooth values, without the cells whose continuations use this one:
   * 1.4826 times the median deviation. 0 if there are none.
   */
  roughnessAwayFrom(cell: Expectation): number;
  /** The difference between the 90th and the 10th percentile of the cells. */
  readonly range: number;
  /** The median size of a cell. */
  readonly size: number;
}

/** The numbers of a complete table as written, row by row; undefined if axes and rows do not match. */
export function writtenCells(table: TableValue): number[][] | undefined {
  return table.cells && table.rows.map((row) => row.map((cell) => cell.value as number));
}

/** Undefined if the table is incomplete, or too small to judge a cell. */
export const smoothnessOf = memo((table: TableValue): Smoothness | undefined => {
  const rows = writtenCells(table);
  if (!rows || !table.x || (table.isMap && !table.y)) return undefined;
  const expectations = expectationsOf(rows, table.x.breakpoints, table.y?.breakpoints ?? [0]);
  if (expectations.length === 0) return undefined;
  const all = Float64Array.from(rows.flat()).sort();
  const columns = table.x.breakpoints.length;
  let departures: Departures | undefined;
  return {
    expectations,
    roughnessAwayFrom(cell) {
      departures ??= departuresOf(expectations, columns);
      const { sorted, rankAt } = departures;
      const ranks = cellsContinuedFrom(cell, columns).flatMap((place) => rankAt.get(place) ?? []);
      // 1.4826 makes the median absolute deviation of a normal distribution its standard deviation.
      return 1.4826 * medianWithout(sorted, ranks);
    },
    range: quantile(all, 0.9) - quantile(all, 0.1),
    size: quantile(all.map(Math.abs).sort(), 0.5),
  };
});

/** Offsets from a cell to the cells that its continuations use or that use it in theirs, including itself. */
const LEANING: readonly (readonly [down: number, across: number])[] = [
  [-2, 0],
  [-1, -1],
  [-1, 0],
  [-1, 1],
  [0, -2],
  [0, -1],
  [0, 0],
  [0, 1],
  [0, 2],
  [1, -1],
  [1, 0],
  [1, 1],
  [2, 0],
];

/** A cell and those whose continuations use it: their indices in a table with this number of columns, row by row. */
export function cellsContinuedFrom(
  { row, column }: Pick<Expectation, 'row' | 'column'>,
  columns: number,
): number[] {
  return LEANING.filter(([, across]) => column + across >= 0 && column + across < columns).map(
    ([down, across]) => (row + down) * columns + column + across,
  );
}

/** Deviations of the cells from their smooth values in ascending order, and the rank of each place of the table. */
interface Departures {
  readonly sorted: Float64Array;
  readonly rankAt: ReadonlyMap<number, number>;
}

function departuresOf(expectations: readonly Expectation[], columns: number): Departures {
  const unsorted = Float64Array.from(expectations, ({ value, smooth }) => Math.abs(value - smooth));
  const order = Uint32Array.from(unsorted.keys()).sort((a, b) => unsorted[a]! - unsorted[b]!);
  const placeOf = ({ row, column }: Expectation): number => row * columns + column;
  return {
    sorted: Float64Array.from(order, (index) => unsorted[index]!),
    rankAt: new Map(Array.from(order, (index, rank) => [placeOf(expectations[index]!), rank])),
  };
}

function expectationsOf(
  rows: readonly (readonly number[])[],
  x: readonly number[],
  y: readonly number[],
): Expectation[] {
  const columns = x.map((_, column) => rows.map((row) => row[column]!));
  const found: Expectation[] = [];
  rows.forEach((cells, row) => {
    cells.forEach((value, column) => {
      const numbers = continuations.none();
      if (rows.length === 1) alongCurve(numbers, cells, x, column);
      else {
        along(numbers, cells, x, column);
        along(numbers, columns[column]!, y, row);
        aroundCorners(numbers, rows, row, column);
      }
      const sorted = numbers.sorted();
      if (sorted.length < 2) return;
      found.push({
        row,
        column,
        value,
        smooth: quantile(sorted, 0.5),
        low: sorted[0]!,
        high: sorted[sorted.length - 1]!,
        oneSided: isEnd(column, x) && (rows.length === 1 || isEnd(row, y)),
      });
    });
  });
  return found;
}

/** A few numbers to be sorted. One reusable buffer serves every cell of every map. */
class Numbers {
  readonly #all: Float64Array;
  #count = 0;

  constructor(most: number) {
    this.#all = new Float64Array(most);
  }

  none(): this {
    this.#count = 0;
    return this;
  }

  add(number: number): void {
    this.#all[this.#count++] = number;
  }

  sorted(): Float64Array {
    return this.#all.subarray(0, this.#count).sort();
  }
}

/** Three along each line and four around the corners. */
const continuations = new Numbers(10);

const isEnd = (index: number, axis: readonly number[]): boolean => index === 0 || index === axis.length - 1;

/** Continuations of a line of cells into place `i`: between its neighbours, and from two cells on either side. */
function along(numbers: Numbers, cells: readonly number[], at: readonly number[], i: number): void {
  const through = (a: number, b: number): void => {
    if (a < 0 || b >= cells.length) return;
    numbers.add(cells[a]! + ((cells[b]! - cells[a]!) * (at[i]! - at[a]!)) / (at[b]! - at[a]!));
  };
  through(i - 1, i + 1);
  through(i - 2, i - 1);
  through(i + 1, i + 2);
}

/** A curve has no second direction to distinguish a knee from an error: a single cell on one side may also be a plateau. */
function alongCurve(numbers: Numbers, cells: readonly number[], at: readonly number[], i: number): void {
  along(numbers, cells, at, i);
  if (i === 1 || (i === 0 && cells.length > 2)) numbers.add(cells[i === 0 ? 1 : 0]!);
  if (i === cells.length - 2 || (i === cells.length - 1 && cells.length > 2))
    numbers.add(cells[i === cells.length - 1 ? i - 1 : i + 1]!);
}

/** A surface that is a sum of a curve over x and one over y closes every rectangle; these are the four around the cell. */
function aroundCorners(
  numbers: Numbers,
  rows: readonly (readonly number[])[],
  row: number,
  column: number,
): void {
  for (const down of [row - 1, row + 1]) {
    for (const across of [column - 1, column + 1]) {
      const beside = rows[row]![across];
      const above = rows[down]?.[column];
      const opposite = rows[down]?.[across];
      if (beside !== undefined && above !== undefined && opposite !== undefined)
        numbers.add(beside + above - opposite);
    }
  }
}

/** The median of a sorted list without the members at some ranks; 0 if none is left. */
function medianWithout(sorted: ArrayLike<number>, ranks: readonly number[]): number {
  const left = sorted.length - ranks.length;
  if (left === 0) return 0;
  const rising = [...ranks].sort((a, b) => a - b);
  const at = (index: number): number => {
    let rank = index;
    for (const leftOut of rising) if (leftOut <= rank) rank++;
    return sorted[rank]!;
  };
  const middle = (left - 1) / 2;
  const low = at(Math.floor(middle));
  return low + (at(Math.ceil(middle)) - low) * (middle - Math.floor(middle));
}

/** The number at a share of the way through a sorted list, interpolated. */
function quantile(sorted: ArrayLike<number>, share: number): number {
  const at = share * (sorted.length - 1);
  const low = sorted[Math.floor(at)]!;
  return low + (sorted[Math.ceil(at)]! - low) * (at - Math.floor(at));
}
