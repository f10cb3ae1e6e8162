/** Lowest and highest values of some columns over time, in at most this many steps. */
const MOST_STEPS = 2048;

/**
 * The course of a run, short enough to be drawn: for each step of time, the lowest and the highest value of each column, so that no
 * peak is lost. When there are too many steps, neighbours become one.
 */
export class Timeline {
  readonly times: number[] = [];
  readonly lows: number[][];
  readonly highs: number[][];
  #rowsPerStep = 1;
  #rows = 0;

  constructor(readonly places: readonly number[]) {
    this.lows = places.map(() => []);
    this.highs = places.map(() => []);
  }

  add(row: Float64Array, time: number): void {
    if (this.#rows === 0) {
      if (this.times.length === MOST_STEPS) this.#halve();
      this.times.push(time);
      for (let i = 0; i < this.places.length; i++) {
        const value = row[this.places[i]!]!;
        this.lows[i]!.push(value);
        this.highs[i]!.push(value);
      }
    } else {
      const last = this.times.length - 1;
      for (let i = 0; i < this.places.length; i++) {
        const value = row[this.places[i]!]!;
        // A value that is missing changes nothing, and one after a missing one counts.
        if (!(value >= this.lows[i]![last]!) && !Number.isNaN(value)) this.lows[i]![last] = value;
        if (!(value <= this.highs[i]![last]!) && !Number.isNaN(value)) this.highs[i]![last] = value;
      }
    }
    this.#rows = (this.#rows + 1) % this.#rowsPerStep;
  }

  #halve(): void {
    const half = MOST_STEPS / 2;
    for (let i = 0; i < half; i++) {
      this.times[i] = this.times[2 * i]!;
      for (let j = 0; j < this.places.length; j++) {
        this.lows[j]![i] = lower(this.lows[j]![2 * i]!, this.lows[j]![2 * i + 1]!);
        this.highs[j]![i] = higher(this.highs[j]![2 * i]!, this.highs[j]![2 * i + 1]!);
      }
    }
    for (const list of [this.times, ...this.lows, ...this.highs]) list.length = half;
    this.#rowsPerStep *= 2;
  }
}

const lower = (a: number, b: number): number => (Number.isNaN(a) || b < a ? b : a);
const higher = (a: number, b: number): number => (Number.isNaN(a) || b > a ? b : a);
