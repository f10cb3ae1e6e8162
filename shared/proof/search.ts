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

/** A function of several variables whose highest value is looked for. */
export interface Problem {
  /** Encloses the function and its slopes over a box; an empty interval where it has no value in all of the box. */
  enclose(box: Box): Sloped<Interval>;
  /** The function at one place; undefined where it has no value. */
  valueAt(place: readonly number[]): number | undefined;
  /** Where the function bends along each variable, ascending: boxes are cut there first. */
  readonly bends: readonly (readonly number[])[];
}

export interface Bound {
  /** No value of the function is above. */
  readonly bound: number;
  /** The highest value found, and where. */
  readonly reached: number;
  readonly witness: readonly number[];
  /** Whether bound and reached value are as near to each other as was asked. */
  readonly isClosed: boolean;
}

interface Candidate {
  readonly box: Box;
  readonly enclosure: Sloped<Interval>;
}

/**
 * The highest value of a function over a box, by best-first branch and bound: the box with the highest enclosure is cut
 * until its bound is near enough to a value that was reached. Along a variable in which the function rises or falls all over a
 * box, the box shrinks to the end. Undefined where the function has no value anywhere.
 * Source: Moore, Kearfott and Cloud, Introduction to Interval Analysis (2009), chapter 8.
 */
export function highestOf(
  problem: Problem,
  whole: Box,
  isNear: (bound: number, reached: number) => boolean,
  mostBoxes: number,
): Bound | undefined {
  const queue = new Queue();
  let [reached, witness]: [number, readonly number[]] = [-Infinity, []];
  /** The highest enclosure of what is not cut any more. */
  let settled = -Infinity;
  const consider = (given: Box) => {
    const candidate = shrunk(problem, given);
    const { value } = candidate.enclosure;
    if (isEmpty(value) || value.high <= reached) return;
    for (const place of placesIn(candidate, problem)) {
      const found = problem.valueAt(place);
      if (found !== undefined && found > reached) [reached, witness] = [found, place];
    }
    if (candidate.box.every((range) => widthOf(range) <= narrowest(range)))
      settled = Math.max(settled, value.high);
    else queue.add(candidate);
  };
  consider(whole);
  let count = 1;
  while (true) {
    const next = queue.highest;
    const bound = Math.max(next?.enclosure.value.high ?? -Infinity, settled, reached);
    if (bound === -Infinity) return undefined;
    const isClosed = isNear(bound, reached);
    if (isClosed || !next || count >= mostBoxes) return { bound, reached, witness, isClosed };
    queue.removeHighest();
    for (const half of halves(next, problem)) consider(half);
    count += 2;
  }
}

/** A range that doubles cannot be cut in with any use. */
const narrowest = ({ low, high }: Interval): number => 1e-12 * Math.max(Math.abs(low), Math.abs(high));

/** The box without what a slope shows to be lower than one of its ends, and the enclosure over that. */
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
 * The enclosure of a box, narrowed by the mean value form f(c) + Σ f′ᵢ · (xᵢ − cᵢ) around its middle c: its excess falls with
 * the square of the width. Source: Moore, Kearfott and Cloud (2009), chapter 6.
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

/** Where a box may hold a high value: its middle, and from there along each variable in turn the better of its ends. */
function placesIn({ box }: Candidate, problem: Problem): number[][] {
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
  return [best];
}

/** The box cut along the variable that moves the function most: at the middle bend, else in the middle. */
function halves({ box, enclosure }: Candidate, { bends }: Problem): [Box, Box] {
  const effects = box.map((range, i) => {
    const slope = enclosure.slopes[i] ?? ZERO;
    const size = Math.max(Math.abs(slope.low), Math.abs(slope.high));
    if (widthOf(range) <= narrowest(range)) return -1;
    // Where no slope is known the width alone has to do.
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
