import type { Columns } from './columns.ts';
import type { LimitWatch } from './limit-watch.ts';
import { type LightDifference, MOST_LISTED } from './sums.ts';

const LIGHTS = ['caution', 'warning'] as const;

/** Compares the logged lights with those that the limits of the text would have lit. */
export class LightWatch {
  readonly found: LightDifference[] = [];
  count = 0;
  readonly #places: readonly number[];
  readonly #watches: readonly (readonly LimitWatch[])[];
  /** Since when each light differs, and how it is logged. */
  readonly #since = LIGHTS.map(() => Number.NaN);
  readonly #logged = LIGHTS.map(() => false);

  constructor(columns: Columns, watches: readonly LimitWatch[]) {
    this.#places = LIGHTS.map((light) => columns.place(`${light}_light`));
    this.#watches = LIGHTS.map((light) => watches.filter(({ sum }) => sum.light === light && sum.isLogged));
  }

  row(row: Float64Array, time: number): void {
    for (let i = 0; i < LIGHTS.length; i++) {
      const place = this.#places[i]!;
      if (place < 0 || Number.isNaN(row[place]!)) continue;
      const isLogged = row[place]! > 0;
      const isExpected = this.#watches[i]!.some((watch) => watch.isLit);
      if (isLogged === isExpected) this.#close(i, time);
      else if (Number.isNaN(this.#since[i]!) || this.#logged[i] !== isLogged) {
        this.#close(i, time);
        this.#since[i] = time;
        this.#logged[i] = isLogged;
      }
    }
  }

  interrupt(time: number): void {
    for (let i = 0; i < LIGHTS.length; i++) this.#close(i, time);
  }

  #close(at: number, time: number): void {
    const from = this.#since[at]!;
    if (Number.isNaN(from)) return;
    this.#since[at] = Number.NaN;
    this.count++;
    if (this.found.length < MOST_LISTED)
      this.found.push({ light: LIGHTS[at]!, logged: this.#logged[at]!, from, to: time, file: 0 });
  }
}
