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

/** Where a range is split in two. Around a jump no number is in both parts, and none between them. */
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
  /** The lowest value met by the way. */
  readonly lowest: number;
}

export interface SearchOptions {
  /** Whether the bound is near enough to the reached value, given the lowest value met so far. */
  isNear(bound: number, reached: number, lowest: number): boolean;
  readonly mostBoxes: number;
  /** Places where similar functions are highest. */
  readonly guesses?: readonly (readonly number[])[];
}

interface Candidate {
  readonly box: Box;
  readonly value: Interval;
  readonly slopes: readonly (Interval | undefined)[];
}

/**
 * The maximum of a function over a box, by best-first branch and bound: the box with the highest enclosure is split
 * until its bound is close enough to a value that was reached. If the function is monotonic in a variable all over a
 * box, the box is reduced to its higher end. Undefined if the function has no value anywhere. Source: Moore, Kearfott
 * and Cloud, Introduction to Interval Analysis (2009), chapter 8.
 */
export function highestOf(
  problem: Problem,
  whole: Box,
  { isNear, mostBoxes, guesses = [] }: SearchOptions,
): Bound | undefined {
  const queue = new Queue();
  let [reached, lowest, witness]: [number, number, readonly number[]] = [-Infinity, Infinity, []];
  const tryOut = (place: readonly number[]) => {
    const value = problem.valueAt(place);
    if (value === undefined) return;
    if (value > reached) [reached, witness] = [value, place];
    lowest = Math.min(lowest, value);
  };
  /** The highest enclosure among boxes that are not split further. */
  let settled = -Infinity;
  const consider = (given: Box) => {
    const candidate = shrunk(problem, given);
    if (isEmpty(candidate.value) || candidate.value.high <= reached) return;
    tryOut(risenIn(candidate));
    const centre = candidate.box.map(middleOf);
    const high = highestIn(candidate, problem, centre);
    if (high > reached) tryOut(centre);
    if (high <= reached) return;
    if (candidate.box.every((range) => widthOf(range) <= narrowest(range))) settled = Math.max(settled, high);
    else queue.add(candidate, high);
  };
  for (const place of [...guesses, ...cornersOf(whole)]) tryOut(place);
  consider(whole);
  let count = 1;
  while (true) {
    const bound = Math.max(queue.height, settled, reached);
    if (bound === -Infinity) return undefined;
    const isDone = isNear(bound, reached, lowest) || count >= mostBoxes;
    const next = isDone ? undefined : queue.removeHighest();
    if (!next) return { bound, reached, witness, lowest };
    for (const half of halves(next, problem, whole)) consider(half);
    count += 2;
  }
}

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
 * The highest value that a box may contain, also by the mean value form f(c) + Σ f′ᵢ · (xᵢ − cᵢ) around its centre c,
 * whose overestimation decreases with the square of the width. Source: Moore, Kearfott and Cloud (2009), chapter 6.
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

/** The corners of the lowest and of the highest variables. */
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
