import { type Interval, isPoint } from '../arithmetic/interval.ts';
import { type AxisPlace, placeOnAxis } from '../configuration/lookup.ts';
import type { Axis, TableValue } from '../configuration/values.ts';

/** All values of a table over a box of its axes, and all slopes along x and y in it. */
export interface TableRange {
  readonly value: Interval;
  readonly alongX: Interval;
  readonly alongY: Interval;
}

/**
 * Rounding error of a lookup: three linear interpolations of five operations each, with numbers no larger than the
 * largest cell.
 */
const ROUNDING = 32 * 2 ** -53;

/**
 * Encloses the results of `lookUp` over a box. Between breakpoints a table is linear along each axis, so its extremes
 * are at the corners of the parts into which the breakpoints split the box. Undefined if the table is incomplete.
 */
export function tableRange(table: TableValue, x: Interval, y?: Interval): TableRange | undefined {
  const { cells } = table;
  if (!cells || !table.x || (table.y && !y)) return undefined;
  const across = cutsOf(table.x, x);
  const down = table.y ? cutsOf(table.y, y!) : SINGLE;
  const width = table.x.breakpoints.length;
  let [low, high, size] = [Infinity, -Infinity, 0];
  const alongX = new Hull();
  const alongY = new Hull();
  for (const { index: row, share } of down.places) {
    for (const { index: column, share: part } of across.places) {
      const at = (i: number, j: number) => cells[i * width + j]!;
      const above = mix(at(row, column), at(row, Math.min(column + 1, width - 1)), part);
      const hasBelow = row + 1 < down.count;
      const below = hasBelow
        ? mix(at(row + 1, column), at(row + 1, Math.min(column + 1, width - 1)), part)
        : above;
      const value = mix(above, below, share);
      if (value < low) low = value;
      if (value > high) high = value;
      size = Math.max(size, Math.abs(above), Math.abs(below));
    }
  }
  for (const column of across.segments) {
    const step = table.x.breakpoints[column + 1]! - table.x.breakpoints[column]!;
    for (const { index: row, share } of down.places) {
      const rise = (i: number) => cells[i * width + column + 1]! - cells[i * width + column]!;
      alongX.add(mix(rise(row), row + 1 < down.count ? rise(row + 1) : rise(row), share) / step);
    }
  }
  for (const row of down.segments) {
    const step = table.y!.breakpoints[row + 1]! - table.y!.breakpoints[row]!;
    for (const { index: column, share } of across.places) {
      const rise = (j: number) => cells[(row + 1) * width + j]! - cells[row * width + j]!;
      alongY.add(mix(rise(column), rise(Math.min(column + 1, width - 1)), share) / step);
    }
  }
  if (across.isBeyond) alongX.add(0);
  if (down.isBeyond) alongY.add(0);
  const slack = ROUNDING * size;
  return {
    value: { low: low - slack, high: high + slack },
    alongX: alongX.interval,
    alongY: alongY.interval,
  };
}

const mix = (a: number, b: number, share: number): number => (share === 0 ? a : a + (b - a) * share);

/** The ends of a range with the breakpoints between them, and the axis segments that it overlaps. */
interface Cuts {
  readonly places: readonly AxisPlace[];
  readonly segments: readonly number[];
  readonly count: number;
  /** Whether the range extends beyond the axis, where the edge value holds. */
  readonly isBeyond: boolean;
}

const SINGLE: Cuts = { places: [{ index: 0, share: 0 }], segments: [], count: 1, isBeyond: false };

function cutsOf(axis: Axis, range: Interval): Cuts {
  const { breakpoints } = axis;
  const last = breakpoints.length - 1;
  if (last < 1) return { ...SINGLE, isBeyond: true };
  const places: AxisPlace[] = [placeOnAxis(axis, range.low)];
  const segments: number[] = [];
  for (let i = 0; i < last; i++) {
    const [from, to] = [breakpoints[i]!, breakpoints[i + 1]!];
    const touches = isPoint(range)
      ? from <= range.low && range.low <= to
      : from < range.high && to > range.low;
    if (touches) segments.push(i);
    if (range.low < to && to < range.high) places.push({ index: i, share: 1 });
  }
  if (range.high > range.low) places.push(placeOnAxis(axis, range.high));
  const isBeyond = range.low < breakpoints[0]! || range.high > breakpoints[last]!;
  return { places, segments, count: breakpoints.length, isBeyond };
}

/**
 * The smallest interval that contains the numbers; zero if there are none, because a table without segments is flat.
 */
class Hull {
  #low = Infinity;
  #high = -Infinity;

  add(x: number): void {
    const slack = Math.abs(x) * ROUNDING;
    this.#low = Math.min(this.#low, x - slack);
    this.#high = Math.max(this.#high, x + slack);
  }

  get interval(): Interval {
    return this.#low > this.#high ? { low: 0, high: 0 } : { low: this.#low, high: this.#high };
  }
}
