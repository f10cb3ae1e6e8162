import { halfWidth95 } from './student.ts';

/**
 * Count, mean and sum of squares of a series, and the co-moment of neighbouring values. Updated with Welford's method, and
 * merged with that of Chan, Golub and LeVeque: the sum of squares minus the square of the sum loses every digit where the
 * spread is small (NIST StRD, NumAcc4).
 */
export class Moments {
  count = 0;
  mean = 0;
  /** The sum of squared deviations from the mean. */
  squares = 0;
  /** Pairs of neighbours in the same stretch. */
  pairs = 0;
  #first = 0;
  #second = 0;
  #product = 0;
  #last = Number.NaN;

  add(value: number): void {
    this.count++;
    const off = value - this.mean;
    this.mean += off / this.count;
    this.squares += off * (value - this.mean);
    const last = this.#last;
    this.#last = value;
    if (Number.isNaN(last)) return;
    this.pairs++;
    const offFirst = last - this.#first;
    this.#first += offFirst / this.pairs;
    const offSecond = value - this.#second;
    this.#second += offSecond / this.pairs;
    this.#product += offFirst * (value - this.#second);
  }

  /** The next value is no neighbour of the last one: it belongs to another stretch. */
  interrupt(): void {
    this.#last = Number.NaN;
  }

  /** Starts again. */
  clear(): void {
    this.count = this.mean = this.squares = this.pairs = 0;
    this.#first = this.#second = this.#product = 0;
    this.#last = Number.NaN;
  }

  merge(other: Moments): void {
    if (other.count === 0) return;
    const count = this.count + other.count;
    const off = other.mean - this.mean;
    this.squares += other.squares + (off * off * this.count * other.count) / count;
    this.mean += (off * other.count) / count;
    this.count = count;
    const pairs = this.pairs + other.pairs;
    if (other.pairs === 0) return;
    const offFirst = other.#first - this.#first;
    const offSecond = other.#second - this.#second;
    this.#product += other.#product + (offFirst * offSecond * this.pairs * other.pairs) / pairs;
    this.#first += (offFirst * other.pairs) / pairs;
    this.#second += (offSecond * other.pairs) / pairs;
    this.pairs = pairs;
  }

  /** The sample variance; NaN for fewer than two values. */
  get variance(): number {
    return this.count > 1 ? this.squares / (this.count - 1) : Number.NaN;
  }

  get deviation(): number {
    return Math.sqrt(this.variance);
  }

  /** The correlation of neighbours about the common mean (lag 1); 0 for a constant series. */
  get correlation(): number {
    if (!(this.squares > 0) || this.pairs === 0) return 0;
    const { mean, pairs } = this;
    const product = this.#product + pairs * (this.#first - mean) * (this.#second - mean);
    return product / this.squares;
  }

  /** The number of independent values that would determine the mean as well, see `effectiveCount`. */
  get effective(): number {
    return effectiveCount(this.count, this.pairs, this.correlation);
  }

  /** The standard uncertainty of the mean, for correlated neighbours. */
  get uncertainty(): number {
    return Math.sqrt(this.variance / this.effective);
  }

  /** The degrees of freedom of that uncertainty. */
  get degrees(): number {
    return this.effective - 1;
  }

  /** Half the width of the 95 % interval of the mean (Student); NaN if there are too few values. */
  get halfWidth(): number {
    return this.degrees > 0 ? halfWidth95(this.degrees) * this.uncertainty : Number.NaN;
  }

  /** The numbers as a list, for `from`. */
  toList(): number[] {
    return [this.count, this.mean, this.squares, this.pairs, this.#first, this.#second, this.#product];
  }

  static from(list: readonly number[]): Moments {
    const made = new Moments();
    [made.count, made.mean, made.squares, made.pairs] = list as [number, number, number, number];
    [made.#first, made.#second, made.#product] = list.slice(4) as [number, number, number];
    return made;
  }
}

/**
 * The number of independent values that determine a mean as well as `count` values, whose neighbours in stretches of `length`
 * are correlated. Rows of a steady stretch are not independent: a first-order process with the correlation r between neighbours determines
 * a mean as n (1 − r) / (1 + r) independent values do. A correlation estimated from a few values is too low on average by
 * (1 + 3 r) / length (Kendall 1954), and a negative one is not counted.
 */
export function effectiveCount(count: number, pairs: number, correlation: number, length = pairs): number {
  if (pairs < 2) return count;
  const corrected = correlation + (1 + 3 * correlation) / length;
  // An estimate within its own uncertainty of zero says nothing.
  const r = corrected < 2 / Math.sqrt(pairs) ? 0 : Math.min(corrected, 0.999);
  return Math.max(Math.min(2, count), (count * (1 - r)) / (1 + r));
}

/** A mean, or a difference of means, with half the width of its 95 % interval; NaN if there are too few rows. */
export interface Estimate {
  readonly mean: number;
  readonly half: number;
}

/** The difference of two means, `second` less `first`, with Welch's interval; undefined with too few values. */
export function welch(first: Moments, second: Moments): Estimate | undefined {
  if (!(first.degrees > 0) || !(second.degrees > 0)) return undefined;
  const [a, b] = [first.uncertainty ** 2, second.uncertainty ** 2];
  const sum = a + b;
  // Two constants: their difference is exact.
  const degrees = sum > 0 ? sum ** 2 / (a ** 2 / first.degrees + b ** 2 / second.degrees) : 1;
  const half = sum > 0 ? halfWidth95(degrees) * Math.sqrt(sum) : 0;
  return { mean: second.mean - first.mean, half };
}
