/** A breakpoint that breaks the pattern of its axis, and the one that keeps it. Numbers as written. */
export interface Misplaced {
  readonly index: number;
  readonly expected: number;
  /** Whether the two are written with the same digits, two neighbouring ones exchanged. */
  readonly isExchange: boolean;
}

/** How far from the middle a breakpoint must lie, relative to the step, to break an even spacing. */
const LEAST_SHIFT = 0.2;

/**
 * The breakpoints, given as written, that break the spacing of a rising axis: those that an exchange of two digits puts in
 * the middle between their neighbours, as far apart as others are, or that makes the steps of the axis change gradually;
 * and those off the middle of an axis that is even everywhere else.
 */
export function misplacedBreakpoints(breakpoints: readonly number[]): Misplaced[] {
  const found: Misplaced[] = [];
  for (let index = 0; index < breakpoints.length; index++) {
    const { middle, evenSteps } = middleAt(breakpoints, index);
    const better = exchangesOf(breakpoints[index]!).find(
      (one) => (evenSteps >= 2 && isNear(one, middle)) || restoresPattern(breakpoints, index, one),
    );
    if (better !== undefined) found.push({ index, expected: better, isExchange: true });
    else if (evenSteps > 0 && isEvenElsewhere(breakpoints, index))
      found.push({ index, expected: middle, isExchange: false });
  }
  // Beside a misplaced breakpoint the next one has an odd step too.
  return found.filter(({ index }, i) => i === 0 || index > found[i - 1]!.index + 1);
}

/**
 * The middle between the neighbours, and how many of the two steps on either side are half as long as the distance between
 * them: 0 if the breakpoint lies in the middle.
 */
function middleAt(at: readonly number[], index: number): { middle: number; evenSteps: number } {
  const [low = Number.NaN, high = Number.NaN] = [at[index - 1], at[index + 1]];
  const step = (high - low) / 2;
  const isEven = (from: number): boolean => isNear((at[from + 1] ?? Number.NaN) - at[from]!, step);
  const isOff = Math.abs(at[index]! - low - step) >= LEAST_SHIFT * step;
  const evenSteps = [index - 3, index - 2, index + 1, index + 2].filter(isEven).length;
  return { middle: low + step, evenSteps: isOff ? evenSteps : 0 };
}

/** Whether all steps but the two beside a breakpoint are equal, and at least four. */
function isEvenElsewhere(at: readonly number[], index: number): boolean {
  const steps = at.slice(1).map((one, i) => one - at[i]!);
  const others = steps.filter((_, i) => i !== index - 1 && i !== index);
  return others.length >= 4 && others.every((step) => isNear(step, others[0]!));
}

/** The steps of a sound axis rarely change from one to the next by more than this; an exchange makes them more uneven. */
const USUAL_UNEVENNESS = 2;
const LEAST_UNEVENNESS = 2.2;
const LEAST_GAIN = 1.5;
const MOST_UNEVENNESS = 3;

/**
 * Whether the steps of an axis change gradually only with one breakpoint changed, or the breakpoint is the only one that
 * is not as round as the others, and rounder and more even with the change.
 */
function restoresPattern(at: readonly number[], index: number, changed: number): boolean {
  if (at.length < 5) return false;
  const mended = at.map((one, i) => (i === index ? changed : one));
  const [before, after] = [unevennessOf(at), unevennessOf(mended)];
  // A step is often written as two close breakpoints.
  if (!(after < before) || after > MOST_UNEVENNESS) return false;
  if (before > LEAST_UNEVENNESS && after <= USUAL_UNEVENNESS && before >= LEAST_GAIN * after) return true;
  const round = ROUND.find((step) => at.every((one, i) => i === index || one % step === 0)) ?? 1;
  return at[index]! % round !== 0 && changed % round === 0;
}

/** The steps in which breakpoints are chosen, coarsest first. */
const ROUND = [1000, 500, 250, 200, 100, 50, 25, 20, 10, 5];

/** The largest ratio of two successive steps. */
function unevennessOf(at: readonly number[]): number {
  let largest = 1;
  for (let i = 1; i < at.length - 1; i++) {
    const [before, after] = [at[i]! - at[i - 1]!, at[i + 1]! - at[i]!];
    if (before <= 0 || after <= 0) return Number.POSITIVE_INFINITY;
    largest = Math.max(largest, before / after, after / before);
  }
  return largest;
}

/** The numbers with two neighbouring digits of this one exchanged: 4040 and 4004 for 4400 are 4040 only. */
function exchangesOf(number: number): number[] {
  const text = String(number);
  return Array.from({ length: text.length - 1 }, (_, i) => i)
    .filter((i) => /\d\d/.test(text.slice(i, i + 2)) && text[i] !== text[i + 1])
    .map((i) => Number(text.slice(0, i) + text[i + 1] + text[i] + text.slice(i + 2)));
}

const isNear = (a: number, b: number): boolean => Math.abs(a - b) < 1e-9 * Math.max(Math.abs(a), Math.abs(b));
