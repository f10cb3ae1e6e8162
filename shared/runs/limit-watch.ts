import { SAME_TIME } from './clock.ts';

/** The most intervals of a limit that are kept one by one; of further ones only the count. */
export const MOST_INTERVALS = 1000;

/** A stretch of time, in s. */
export type Span = readonly [from: number, to: number];

/** Reads a quantity of a row in the terms of a limit, which may differ from those of its column. NaN for what is unknown. */
export interface Reading {
  read(row: Float64Array): number;
  /** A number in the terms of the limit as the column would show it in a row. */
  inColumn(value: number, row: Float64Array): number;
  /** The column that holds the quantity as it is, which a million rows read faster without a call; -1 if none does. */
  readonly place: number;
}

/** How near a run came to one level of a limit, and when the level acted. */
export interface LimitSum {
  /** Key path of the level. */
  readonly at: string;
  readonly quantity: string;
  readonly unit: string;
  readonly direction: 'above' | 'below';
  /** The light that the level drives; undefined if it drives none. */
  readonly light: 'caution' | 'warning' | undefined;
  /** Whether the quantity is logged in a form that can be compared. */
  isLogged: boolean;
  /**
   * The value that came closest, the level there, in the terms of the limit and as the column would show it, and the row;
   * undefined without a row.
   */
  closest: { value: number; level: number; columnLevel: number; row: number; file: number } | undefined;
  /** When the level acted, with its hysteresis and delay. */
  lit: Span[];
  litCount: number;
}

/** Follows one level through the rows of a run. */
export class LimitWatch {
  #since = Number.NaN;
  #litFrom = Number.NaN;
  #margin = Number.POSITIVE_INFINITY;

  constructor(
    readonly sum: LimitSum,
    /** In canonical units: how far the quantity must come back, and for how long (s) it must be beyond the level. */
    readonly hysteresis: number,
    readonly delay: number,
    readonly value: Reading,
    /** The level in a row; NaN if it is unknown. */
    readonly level: (row: Float64Array) => number,
    /** The level if it is the same in all rows, or NaN. */
    readonly fixed = Number.NaN,
  ) {}

  get isLit(): boolean {
    return !Number.isNaN(this.#litFrom);
  }

  row(row: Float64Array, time: number, index: number): void {
    const { fixed } = this;
    const { place } = this.value;
    const value = place < 0 ? this.value.read(row) : row[place]!;
    const level = Number.isNaN(fixed) ? this.level(row) : fixed;
    const margin = this.sum.direction === 'above' ? level - value : value - level;
    // An unknown value changes nothing.
    if (Number.isNaN(margin)) return;
    if (margin < this.#margin) {
      this.#margin = margin;
      const columnLevel = this.value.inColumn(level, row);
      this.sum.closest = { value, level, columnLevel, row: index, file: 0 };
    }
    if (margin < 0) {
      if (Number.isNaN(this.#since)) this.#since = time;
      if (!this.isLit && time - this.#since >= this.delay - SAME_TIME) this.#litFrom = time;
      return;
    }
    this.#since = Number.NaN;
    if (this.isLit && margin >= this.hysteresis) this.clear(time);
  }

  /** The data ends, or continue elsewhere: what is lit is counted up to here. */
  clear(time: number): void {
    this.#since = Number.NaN;
    if (!this.isLit) return;
    this.sum.litCount++;
    if (this.sum.lit.length < MOST_INTERVALS) this.sum.lit.push([this.#litFrom, time]);
    this.#litFrom = Number.NaN;
  }
}

/** Adds what another run says about the same level. */
export function mergeLimit(own: LimitSum, other: LimitSum, files: number): void {
  own.isLogged ||= other.isLogged;
  const marginOf = ({ closest, direction }: LimitSum): number => {
    if (!closest) return Number.POSITIVE_INFINITY;
    return direction === 'above' ? closest.level - closest.value : closest.value - closest.level;
  };
  if (marginOf(other) < marginOf(own) && other.closest)
    own.closest = { ...other.closest, file: other.closest.file + files };
  own.litCount += other.litCount;
  own.lit = [...own.lit, ...other.lit].sort(([a], [b]) => a - b).slice(0, MOST_INTERVALS);
}
