import {
  add,
  type Interval,
  intersection,
  isEmpty,
  middleOf,
  multiply,
  point,
  subtract,
  widthOf,
} from '../arithmetic/interval.ts';
import type { Sloped } from '../arithmetic/slopes.ts';

/** A range for each variable. */
export type Box = readonly Interval[];

/** A function of several variables whose maximum is sought. */
export interface Problem {
  /**
   * An enclosure of the function and its slopes over a box; an empty interval if the function is undefined in all of
   * it.
   */
  enclose(box: Box): Sloped<Interval>;
  /** The function at one point; undefined if it has no value there. */
  valueAt(place: readonly number[]): number | undefined;
  /** The kinks of the function along each variable, ascending. Boxes are split there first. */
  readonly bends: readonly (readonly number[])[];
}

export interface Bound {
  /** The function never exceeds this. */
  readonly bound: number;
  /** The highest value found, and where. */
  readonly reached: number;
  readonly witness: readonly number[];
  /** Whether the bound and the reached value are within the requested tolerance. */
  readonly isClosed: boolean;
}

interface Candidate {
  readonly box: Box;
  readonly enclosure: Sloped<Interval>;
}

/** A point at which a long computation can pause: the value of a generator's `yield`. */
export type Pause = undefined;

/** Runs a computation that can pause to its end. */
export function finished<Result>(steps: Iterator<Pause, Result>): Result {
  while (true) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/**
 * The search for the maximum of a function over a box, by best-first branch and bound: the box with the highest enclosure
 * is split until its bound is close enough to a value that was reached. If the function is monotonic in a variable all
 * over a box, the box is reduced to its higher end. A search continues where it stopped. Source: Moore, Kearfott and
 * Cloud, Introduction to Interval Analysis (2009), chapter 8.
 */
export class MaximumSearch {
  readonly #problem: Problem;
  readonly #whole: Box;
  readonly #queue = new Queue();
  #reached = -Infinity;
  #witness: readonly number[] = [];
  /** The highest enclosure among boxes that are not split further. */
  #settled = -Infinity;
  #boxes = 0;

  constructor(problem: Problem, whole: Box) {
    this.#problem = problem;
    this.#whole = whole;
  }

  /** Examines boxes until the result is good enough, or as many as allowed. Undefined if the function has no value. */
  *run(
    isEnough: (bound: number, reached: number) => boolean,
    mostBoxes: number,
  ): Generator<Pause, Bound | undefined> {
    if (this.#boxes === 0) {
      yield;
      if (this.#boxes === 0) this.#consider(this.#whole);
      this.#boxes ||= 1;
    }
    while (true) {
      const next = this.#queue.highest;
      const bound = Math.max(next?.enclosure.value.high ?? -Infinity, this.#settled, this.#reached);
      if (bound === -Infinity) return undefined;
      const isClosed = isEnough(bound, this.#reached);
      if (isClosed || !next || this.#boxes >= mostBoxes)
        return { bound, reached: this.#reached, witness: this.#witness, isClosed };
      yield;
      // Another caller may have continued the search during the pause.
      if (this.#queue.highest !== next) continue;
      this.#queue.removeHighest();
      for (const half of halves(next, this.#problem)) this.#consider(half);
      this.#boxes += 2;
    }
  }

  #consider(given: Box): void {
    const candidate = shrunk(this.#problem, given);
    const { value } = candidate.enclosure;
    if (isEmpty(value) || value.high <= this.#reached) return;
    const [found, place] = highestFoundIn(candidate, this.#problem);
    if (found > this.#reached) [this.#reached, this.#witness] = [found, place];
    if (candidate.box.every((range) => widthOf(range) <= narrowest(range)))
      this.#settled = Math.max(this.#settled, value.high);
    else this.#queue.add(candidate);
  }
}

/** The maximum of a function over a box, searched until bound and reached value are near. */
export const highestOf = (
  problem: Problem,
  whole: Box,
  isNear: (bound: number, reached: number) => boolean,
  mostBoxes: number,
): Bound | undefined => finished(new MaximumSearch(problem, whole).run(isNear, mostBoxes));

/** Splitting a range narrower than this gains nothing in double precision. */
const narrowest = ({ low, high }: Interval): number => 1e-12 * Math.max(Math.abs(low), Math.abs(high));

/** The box reduced to one end of each range over which the function is monotonic, and the enclosure over that. */
function shrunk(problem: Problem, box: Box): Candidate {
  let candidate: Candidate = { box, enclosure: enclosureOf(problem, box) };
  while (!isEmpty(candidate.enclosure.value)) {
    const { slopes } = candidate.enclosure;
    const ends = candidate.box.map((range, i): Interval => {
      const slope = slopes[i] ?? ZERO;
      if (range.low === range.high) return range;
      if (slope.low >= 0) return { low: range.high, high: range.high };
      return slope.high <= 0 ? { low: range.low, high: range.low } : range;
    });
    if (ends.every((range, i) => range === candidate.box[i])) break;
    candidate = { box: ends, enclosure: enclosureOf(problem, ends) };
  }
  return candidate;
}

/**
 * The enclosure of a box, narrowed by the mean value form f(c) + Σ f′ᵢ · (xᵢ − cᵢ) around its centre c, whose
 * overestimation decreases with the square of the width. Source: Moore, Kearfott and Cloud (2009), chapter 6.
 */
function enclosureOf(problem: Problem, box: Box): Sloped<Interval> {
  const { value, slopes } = problem.enclose(box);
  if (isEmpty(value) || box.every(({ low, high }) => low === high)) return { value, slopes };
  const middle = box.map((range) => point(middleOf(range)));
  let sum = problem.enclose(middle).value;
  box.forEach((range, i) => {
    if (range.low < range.high) sum = add(sum, multiply(slopes[i] ?? ZERO, subtract(range, middle[i]!)));
  });
  const narrowed = intersection(value, sum);
  return { value: isEmpty(narrowed) ? value : narrowed, slopes };
}

const ZERO: Interval = { low: 0, high: 0 };

/**
 * The highest value found at the centre of the box and from there, for one variable after another, at its better
 * end.
 */
function highestFoundIn({ box }: Candidate, problem: Problem): [value: number, place: readonly number[]] {
  let best = box.map(middleOf);
  let most = problem.valueAt(best) ?? -Infinity;
  box.forEach(({ low, high }, i) => {
    if (low === high) return;
    for (const end of [low, high]) {
      const place = best.with(i, end);
      const value = problem.valueAt(place) ?? -Infinity;
      if (value > most) [most, best] = [value, place];
    }
  });
  return [most, best];
}

/** Splits the box along the variable that changes the function most: at the middle kink, otherwise in the middle. */
function halves({ box, enclosure }: Candidate, { bends }: Problem): [Box, Box] {
  const effects = box.map((range, i) => {
    const slope = enclosure.slopes[i] ?? ZERO;
    const size = Math.max(Math.abs(slope.low), Math.abs(slope.high));
    if (widthOf(range) <= narrowest(range)) return -1;
    // Without a known slope, the width decides.
    return Number.isFinite(size) ? size * widthOf(range) : Number.MAX_VALUE;
  });
  const along = effects.indexOf(Math.max(...effects));
  const { low, high } = box[along]!;
  const inside = bends[along]!.filter((bend) => low < bend && bend < high);
  const at = inside[inside.length >> 1] ?? middleOf(box[along]!);
  return [box.with(along, { low, high: at }), box.with(along, { low: at, high })];
}

/** Candidates by the height of their enclosures: a binary heap. */
class Queue {
  readonly #heap: Candidate[] = [];

  get highest(): Candidate | undefined {
    return this.#heap[0];
  }

  add(candidate: Candidate): void {
    const heap = this.#heap;
    let i = heap.push(candidate) - 1;
    while (i > 0) {
      const parent = (i - 1) >> 1;
      if (heightOf(heap[parent]!) >= heightOf(candidate)) break;
      heap[i] = heap[parent]!;
      i = parent;
    }
    heap[i] = candidate;
  }

  removeHighest(): void {
    const heap = this.#heap;
    const last = heap.pop();
    if (!last || heap.length === 0) return;
    let i = 0;
    while (true) {
      let child = 2 * i + 1;
      if (child >= heap.length) break;
      if (child + 1 < heap.length && heightOf(heap[child + 1]!) > heightOf(heap[child]!)) child++;
      if (heightOf(heap[child]!) <= heightOf(last)) break;
      heap[i] = heap[child]!;
      i = child;
    }
    heap[i] = last;
  }
}

const heightOf = ({ enclosure }: Candidate): number => enclosure.value.high;
