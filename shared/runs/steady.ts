import { SAME_TIME } from './clock.ts';

/** The bands within which a stretch of a run is steady. */
export interface Bands {
  /** Of the speed: largest distance from the middle, as a share of it. */
  readonly speed: number;
  /** Of the manifold pressure, in Pa. */
  readonly pressure: number;
  /** Of the throttle position, as a ratio. */
  readonly throttle: number;
  /** Shortest time, in s. */
  readonly time: number;
}

/** Common practice, no source; a run file can state others. */
export const USUAL_BANDS: Bands = { speed: 0.01, pressure: 1500, throttle: 0.01, time: 1 };

/** The places of what must be steady in a row; -1 for a throttle that is not logged. */
export interface SteadyPlaces {
  readonly time: number;
  readonly speed: number;
  readonly pressure: number;
  readonly throttle: number;
}

/** Receives the rows of steady stretches. */
export interface SteadyRows {
  /** A row of the current stretch. Its numbers are valid only during the call. */
  row(values: Float64Array): void;
  /** The stretch ends. */
  end(from: number, to: number, rows: number): void;
}

/**
 * Finds steady stretches row by row. Rows are kept only until a stretch has lasted for the shortest time; from then on they
 * are passed on at once, so memory does not grow with the length of a stretch.
 */
export class SteadyStretches {
  readonly #kept: Float64Array[] = [];
  /** Rows for reuse. */
  readonly #spare: Float64Array[] = [];
  /** Lowest and highest speed, pressure and throttle of the stretch. */
  readonly #ends = new Float64Array(6);
  #isSteady = false;
  #from = 0;
  #to = 0;
  #rows = 0;

  constructor(
    readonly bands: Bands,
    readonly places: SteadyPlaces,
    readonly target: SteadyRows,
  ) {}

  row(values: Float64Array): void {
    const { time, speed, pressure, throttle } = this.places;
    // A row that lacks one of them, as all rows do without its column, belongs to no stretch, and does not end one.
    const lacks =
      !Number.isFinite(values[speed]) ||
      !Number.isFinite(values[pressure]) ||
      (throttle >= 0 && Number.isNaN(values[throttle]!));
    if (lacks) return;
    if (this.#isSteady) {
      if (this.#fits(values)) {
        this.#widen(values);
        this.#pass(values);
        return;
      }
      this.interrupt();
    }
    if (this.#kept.length > 0 && !this.#fits(values)) this.#dropUntilItFits(values);
    if (this.#kept.length === 0) this.#start(values);
    else this.#widen(values);
    const copy = this.#spare.pop() ?? new Float64Array(values.length);
    copy.set(values);
    this.#kept.push(copy);
    if (values[time]! - this.#kept[0]![time]! < this.bands.time - SAME_TIME || this.#kept.length < 2) return;
    this.#isSteady = true;
    this.#from = this.#kept[0]![time]!;
    this.#rows = 0;
    for (const kept of this.#kept) this.#pass(kept);
    this.#release(this.#kept.length);
  }

  /** Ends the current stretch, for example at a gap of the data. */
  interrupt(): void {
    if (this.#isSteady) this.target.end(this.#from, this.#to, this.#rows);
    this.#isSteady = false;
    this.#release(this.#kept.length);
  }

  #pass(values: Float64Array): void {
    this.#to = values[this.places.time]!;
    this.#rows++;
    this.target.row(values);
  }

  #start(values: Float64Array): void {
    const { speed, pressure, throttle } = this.places;
    const ends = this.#ends;
    ends[0] = ends[1] = values[speed]!;
    ends[2] = ends[3] = values[pressure]!;
    ends[4] = ends[5] = throttle < 0 ? 0 : values[throttle]!;
  }

  #widen(values: Float64Array): void {
    const { speed, pressure, throttle } = this.places;
    this.#include(0, values[speed]!);
    this.#include(2, values[pressure]!);
    if (throttle >= 0) this.#include(4, values[throttle]!);
  }

  #include(at: number, value: number): void {
    const ends = this.#ends;
    if (value < ends[at]!) ends[at] = value;
    if (value > ends[at + 1]!) ends[at + 1] = value;
  }

  #fits(values: Float64Array): boolean {
    const { speed, pressure, throttle } = this.places;
    const ends = this.#ends;
    const low = Math.min(ends[0]!, values[speed]!);
    const high = Math.max(ends[1]!, values[speed]!);
    if (high - low > this.bands.speed * (high + low)) return false;
    if (this.#spread(2, values[pressure]!) > 2 * this.bands.pressure) return false;
    return throttle < 0 || this.#spread(4, values[throttle]!) <= 2 * this.bands.throttle * ROUNDING;
  }

  #spread(at: number, value: number): number {
    return Math.max(this.#ends[at + 1]!, value) - Math.min(this.#ends[at]!, value);
  }

  /** The oldest rows leave until the rest is within the bands together with the new row. */
  #dropUntilItFits(values: Float64Array): void {
    let first = this.#kept.length;
    this.#start(values);
    while (first > 0 && this.#fits(this.#kept[first - 1]!)) this.#widen(this.#kept[--first]!);
    this.#release(first);
  }

  /** Releases the first rows. */
  #release(count: number): void {
    for (const row of this.#kept.splice(0, count)) this.#spare.push(row);
  }
}

/** So that a throttle that moves by exactly the band counts as within it. */
const ROUNDING = 1 + 1e-9;
