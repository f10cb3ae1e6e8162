/** The lowest and highest values of each column in steps of time. A missing value is NaN. */
export interface Steps {
  readonly times: readonly number[];
  readonly lows: readonly (readonly number[])[];
  readonly highs: readonly (readonly number[])[];
}

/** Every row of what is drawn of a run, to be looked at closely. */
export class RunRows {
  #times = new Float64Array(1024);
  #columns: Float32Array[] = [];
  #places: readonly number[] = [];
  #count = 0;

  begin(places: readonly number[]): void {
    this.#places = places;
    this.#columns = places.map(() => new Float32Array(this.#times.length));
  }

  add(row: Float64Array, time: number): void {
    // Only rising times can be searched.
    if (this.#count > 0 && time <= this.#times[this.#count - 1]!) return;
    if (this.#count === this.#times.length) this.#grow();
    this.#times[this.#count] = time;
    for (let i = 0; i < this.#places.length; i++) this.#columns[i]![this.#count] = row[this.#places[i]!]!;
    this.#count++;
  }

  get count(): number {
    return this.#count;
  }

  /** The first and the last time. */
  get span(): readonly [from: number, to: number] {
    return this.#count === 0 ? [0, 0] : [this.#times[0]!, this.#times[this.#count - 1]!];
  }

  /**
   * The rows from one time to another in at most `most` steps, each with its lowest and highest values: no peak is lost, however
   * many rows a step has. The rows beside the range are included, so that lines continue beyond it.
   */
  steps(from: number, to: number, most: number): Steps {
    const first = Math.max(0, this.#indexOf(from) - 1);
    const last = Math.min(this.#count, this.#indexOf(to) + 2);
    const size = Math.max(1, Math.ceil((last - first) / Math.max(1, most)));
    const times: number[] = [];
    const lows: number[][] = this.#columns.map(() => []);
    const highs: number[][] = this.#columns.map(() => []);
    for (let start = first; start < last; start += size) {
      const end = Math.min(last, start + size);
      times.push(this.#times[start]!);
      for (let i = 0; i < this.#columns.length; i++) {
        const column = this.#columns[i]!;
        let low = Number.POSITIVE_INFINITY;
        let high = Number.NEGATIVE_INFINITY;
        for (let at = start; at < end; at++) {
          const value = column[at]!;
          if (value < low) low = value;
          if (value > high) high = value;
        }
        lows[i]!.push(low > high ? Number.NaN : low);
        highs[i]!.push(low > high ? Number.NaN : high);
      }
    }
    return { times, lows, highs };
  }

  /** The index of the first row at or after a time. */
  #indexOf(time: number): number {
    let [low, high] = [0, this.#count];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.#times[middle]! < time) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  #grow(): void {
    const longer = <List extends Float64Array | Float32Array>(list: List, made: List): List => {
      made.set(list);
      return made;
    };
    this.#times = longer(this.#times, new Float64Array(2 * this.#times.length));
    this.#columns = this.#columns.map((column) => longer(column, new Float32Array(2 * column.length)));
  }
}
