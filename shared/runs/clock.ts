/** A gap is longer than this many usual intervals between rows. */
const GAP = 5;
/** Intervals from which the usual one is taken. */
const RECENT = 32;

/** Rounding of logged times (s). */
export const SAME_TIME = 1e-6;

/** Follows the times of rows: intervals, gaps, and times that do not advance. */
export class Clock {
  readonly #recent = new Float64Array(RECENT);
  #count = 0;
  #usual = Number.NaN;
  /** The time of the row before, used or refused. */
  #last = Number.NaN;
  /** That of the last row that was used. */
  #lastUsed = Number.NaN;

  get lastUsed(): number {
    return this.#lastUsed;
  }

  /** The median of recent intervals; NaN before the second row. */
  get usual(): number {
    return this.#usual;
  }

  /**
   * Why the row cannot be used. Each time is compared with that of the row before, so that of a log that starts again only one row
   * is refused.
   */
  refusal(time: number): string | undefined {
    if (Number.isNaN(time)) return 'it has no time';
    const last = this.#last;
    this.#last = time;
    if (time === last) return `it repeats the time of the row before, ${time} s`;
    return time < last ? `its time runs back, from ${last} s to ${time} s` : undefined;
  }

  /** Moves on to the time of a usable row; returns whether there is a gap before it. */
  advance(time: number): boolean {
    const interval = time - this.#lastUsed;
    this.#lastUsed = time;
    if (Number.isNaN(interval)) return false;
    // A log that starts again continues elsewhere.
    const isGap = interval <= 0 || interval > GAP * this.#usual;
    if (!isGap) {
      this.#recent[this.#count++ % RECENT] = interval;
      if (this.#count < RECENT || this.#count % RECENT === 0) this.#usual = this.#median();
    }
    return isGap;
  }

  #median(): number {
    const sorted = this.#recent.slice(0, Math.min(this.#count, RECENT)).sort();
    return sorted[sorted.length >> 1]!;
  }
}
