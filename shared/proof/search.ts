import {
  add,
  type Interval,
  isEmpty,
  middleOf,
  multiply,
  point,
  subtract,
  widthOf,
} from '../arithmetic/interval.ts';

/** A range for each variable. */
export type Box = readonly Interval[];

/** A function of several variables whose maximum is sought. */
export interface Problem {
  /** An enclosure of the function over a box; empty if the function is undefined in all of it. */
  over(box: Box): Interval;
  /** The slopes along each variable over the box that was enclosed last; undefined where it has none. */
  slopes(): readonly (Interval | undefined)[];
  /** The function at one point; undefined if it has no value there. */
  valueAt(place: readonly number[]): number | undefined;
  /** Where along each variable the function bends or jumps, ascending. Boxes are split there first. */
  readonly bends: readonly (readonly Cut[])[];
}

/** Where a range is split in two. At a jump, no number is in both parts or between them. */
export interface Cut {
  readonly below: number;
  readonly above: number;
}

export interface Bound {
  /** The function never exceeds this. */
  readonly bound: number;
  /** The highest value found, and where. */
  readonly reached: number;
  readonly witness: readonly number[];
  /** The lowest value found along the way. */
  readonly lowest: number;
}

/** Whether the bound is near enough to the reached value, given the lowest value met so far. */
export type IsEnough = (bound: number, reached: number, lowest: number) => boolean;

interface Candidate {
  readonly box: Box;
  readonly value: Interval;
  readonly slopes: readonly (Interval | undefined)[];
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
 * The search for the maximum of a function over a box, by best-first branch and bound: the box with the highest
 * enclosure is split until its bound is close enough to a value that was reached. If the function is monotonic in a
 * variable all over a box, the box is reduced to its higher end. A search continues where it stopped. Source: Moore,
 * Kearfott and Cloud, Introduction to Interval Analysis (2009), chapter 8.
 */
export class MaximumSearch {
  readonly #problem: Problem;
  readonly #whole: Box;
  readonly #queue = new Queue();
  #reached = -Infinity;
  #lowest = Infinity;
  #witness: readonly number[] = [];
  /** The highest enclosure among boxes that are not split further. */
  #settled = -Infinity;
  #boxes = 0;

  constructor(problem: Problem, whole: Box) {
    this.#problem = problem;
    this.#whole = whole;
  }

  /** Examines boxes until the result is good enough, or as many as allowed. Undefined if the function has no value. */
  *run(isEnough: IsEnough, mostBoxes: number): Generator<Pause, Bound | undefined> {
    if (this.#boxes === 0) {
      yield;
      // Another caller may have started the search during the pause.
      if (this.#boxes === 0) this.#start();
    }
    while (true) {
      const { height } = this.#queue;
      const [reached, lowest, witness] = [this.#reached, this.#lowest, this.#witness];
      const bound = Math.max(height, this.#settled, reached);
      if (bound === -Infinity) return undefined;
      const found: Bound = { bound, reached, witness, lowest };
      if (height === -Infinity || this.#boxes >= mostBoxes || isEnough(bound, reached, lowest)) return found;
      const boxes = this.#boxes;
      yield;
      // Another caller may have continued the search during the pause.
      if (this.#boxes === boxes) this.#split();
    }
  }

  #start(): void {
    for (const place of cornersOf(this.#whole)) this.#tryOut(place);
    this.#consider(this.#whole);
    this.#boxes = 1;
  }

  #split(): void {
    const next = this.#queue.removeHighest()!;
    for (const half of halves(next, this.#problem, this.#whole)) this.#consider(half);
    this.#boxes += 2;
  }

  #tryOut(place: readonly number[]): void {
    const value = this.#problem.valueAt(place);
    if (value === undefined) return;
    if (value > this.#reached) [this.#reached, this.#witness] = [value, place];
    this.#lowest = Math.min(this.#lowest, value);
  }

  #consider(given: Box): void {
    const candidate = shrunk(this.#problem, given);
    if (isEmpty(candidate.value) || candidate.value.high <= this.#reached) return;
    this.#tryOut(risenIn(candidate));
    const centre = candidate.box.map(middleOf);
    const high = highestIn(candidate, this.#problem, centre);
    if (high > this.#reached) this.#tryOut(centre);
    if (high <= this.#reached) return;
    if (candidate.box.every((range) => widthOf(range) <= narrowest(range)))
      this.#settled = Math.max(this.#settled, high);
    else this.#queue.add(candidate, high);
  }
}

/** The maximum of a function over a box, searched until bound and reached value are near. */
export const highestOf = (
  problem: Problem,
  whole: Box,
  isNear: IsEnough,
  mostBoxes: number,
): Bound | undefined => finished(new MaximumSearch(problem, whole).run(isNear, mostBoxes));

/** Splitting a range narrower than this gains nothing in double precision. */
const narrowest = ({ low, high }: Interval): number => 1e-12 * Math.max(Math.abs(low), Math.abs(high));

/** The box reduced to one end of each range over which the function is monotonic, and the enclosure over that. */
function shrunk(problem: Problem, box: Box): Candidate {
  let value = problem.over(box);
  let slopes = problem.slopes();
  while (!isEmpty(value)) {
    let isShrunk = false;
    const ends = box.map((range, i): Interval => {
      const slope = slopes[i] ?? ZERO;
      if (range.low === range.high) return range;
      const end = slope.low >= 0 ? range.high : slope.high <= 0 ? range.low : undefined;
      if (end === undefined) return range;
      isShrunk = true;
      return point(end);
    });
    if (!isShrunk) break;
    box = ends;
    value = problem.over(box);
    slopes = problem.slopes();
  }
  return { box, value, slopes };
}

/**
 * The highest value that a box may contain: by its enclosure or, if that is lower, by the mean value form f(c) + Σ f′ᵢ
 * · (xᵢ − cᵢ) around its centre c, whose overestimation decreases with the square of the width. Source: Moore, Kearfott
 * and Cloud (2009), chapter 6.
 */
function highestIn({ box, value, slopes }: Candidate, problem: Problem, centre: readonly number[]): number {
  if (box.every(({ low, high }) => low === high)) return value.high;
  const middle = centre.map(point);
  let sum: Interval | undefined;
  for (const [i, range] of box.entries()) {
    if (range.low === range.high) continue;
    const slope = slopes[i] ?? ZERO;
    if (!(Number.isFinite(slope.low) && Number.isFinite(slope.high))) return value.high;
    const change = multiply(slope, subtract(range, middle[i]!));
    sum = sum ? add(sum, change) : change;
  }
  const around = add(problem.over(middle), sum!);
  return isEmpty(around) ? value.high : Math.min(around.high, value.high);
}

const ZERO = point(0);

/** Two corners: the one where all variables are lowest, and the one where all are highest. */
const cornersOf = (box: Box): readonly (readonly number[])[] => [
  box.map(({ low }) => low),
  box.map(({ high }) => high),
];

/** The corner of a box towards which the function mostly rises. */
const risenIn = ({ box, slopes }: Candidate): readonly number[] =>
  box.map(({ low, high }, i) => {
    const slope = slopes[i] ?? ZERO;
    return slope.low + slope.high > 0 ? high : low;
  });

/** Splits the box along the variable that changes the function most: at the middle kink, otherwise in the middle. */
function halves({ box, slopes }: Candidate, { bends }: Problem, whole: Box): [Box, Box] {
  const effects = box.map((range, i) => {
    const slope = slopes[i] ?? ZERO;
    const size = Math.max(Math.abs(slope.low), Math.abs(slope.high));
    if (widthOf(range) <= narrowest(range)) return -1;
    // Without a known slope, the width decides.
    const share = widthOf(range) / widthOf(whole[i]!);
    return Number.isFinite(size) ? size * widthOf(range) : share * Number.MAX_VALUE;
  });
  const along = effects.indexOf(Math.max(...effects));
  const { low, high } = box[along]!;
  const inside = bends[along]!.filter(({ below, above }) => low < above && below < high);
  const middle = middleOf(box[along]!);
  const { below, above } = inside[inside.length >> 1] ?? { below: middle, above: middle };
  return [box.with(along, { low, high: below }), box.with(along, { low: above, high })];
}

/** Candidates by the height of what they may contain: a binary heap. */
class Queue {
  readonly #heap: { readonly candidate: Candidate; readonly height: number }[] = [];

  /** The highest value that any candidate may contain. */
  get height(): number {
    return this.#heap[0]?.height ?? -Infinity;
  }

  add(candidate: Candidate, height: number): void {
    const heap = this.#heap;
    const added = { candidate, height };
    let i = heap.push(added) - 1;
    while (i > 0) {
      const parent = (i - 1) >> 1;
      if (heap[parent]!.height >= height) break;
      heap[i] = heap[parent]!;
      i = parent;
    }
    heap[i] = added;
  }

  removeHighest(): Candidate | undefined {
    const heap = this.#heap;
    const first = heap[0];
    const last = heap.pop();
    if (!last || heap.length === 0) return first?.candidate;
    let i = 0;
    while (true) {
      let child = 2 * i + 1;
      if (child >= heap.length) break;
      if (child + 1 < heap.length && heap[child + 1]!.height > heap[child]!.height) child++;
      if (heap[child]!.height <= last.height) break;
      heap[i] = heap[child]!;
      i = child;
    }
    heap[i] = last;
    return first!.candidate;
  }
}
