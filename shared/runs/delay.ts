/**
 * Pairs each row with the lambda that its cylinder events cause, which the sensor reads later. Rows wait until then, in
 * buffers that are used again.
 */
export class LambdaDelay {
  #waiting: Float64Array[] = [];
  #head = 0;
  readonly #spare: Float64Array[] = [];
  #beforeTime = Number.NaN;
  #beforeLambda = Number.NaN;

  constructor(
    readonly places: { readonly time: number; readonly lambda: number; readonly shifted: number },
    /** The delay (s) of a row; NaN if it is unknown, and so is its lambda then. */
    readonly delay: (row: Float64Array) => number,
    readonly pass: (row: Float64Array) => void,
  ) {}

  row(values: Float64Array): void {
    const { time, lambda, shifted } = this.places;
    const now = values[time]!;
    const read = values[lambda]!;
    const copy = this.#spare.pop() ?? new Float64Array(values.length);
    copy.set(values);
    this.#waiting.push(copy);
    while (this.#head < this.#waiting.length) {
      const first = this.#waiting[this.#head]!;
      const wanted = first[time]! + this.delay(first);
      if (wanted > now) break;
      // The nearest reading: to interpolate would smooth its noise, and make neighbours depend on each other.
      const isBefore = wanted - this.#beforeTime < now - wanted && !Number.isNaN(this.#beforeLambda);
      first[shifted] = Number.isNaN(wanted) ? Number.NaN : isBefore ? this.#beforeLambda : read;
      this.#release(first);
    }
    this.#beforeTime = now;
    this.#beforeLambda = read;
  }

  /** The data end, or continue elsewhere: the rows that wait have no reading. */
  interrupt(): void {
    while (this.#head < this.#waiting.length) {
      const first = this.#waiting[this.#head]!;
      first[this.places.shifted] = Number.NaN;
      this.#release(first);
    }
    this.#beforeTime = this.#beforeLambda = Number.NaN;
  }

  #release(row: Float64Array): void {
    this.pass(row);
    this.#spare.push(row);
    this.#head++;
    if (this.#head < 256) return;
    this.#waiting = this.#waiting.slice(this.#head);
    this.#head = 0;
  }
}
