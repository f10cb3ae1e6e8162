import { nextDown, nextUp, productBelow, quotientBelow, rootAbove, rootBelow, sumBelow } from './rounding.ts';

/**
 * All real numbers from `low` to `high`. An operation on intervals encloses its results for all numbers in them: bounds
 * are rounded outward (IEEE 1788-2015, set-based flavour). Both ends of the empty interval are NaN.
 */
export interface Interval {
  readonly low: number;
  readonly high: number;
}

export const EMPTY: Interval = { low: Number.NaN, high: Number.NaN };
export const ENTIRE: Interval = { low: -Infinity, high: Infinity };
const ZERO: Interval = { low: 0, high: 0 };

export const isEmpty = ({ low }: Interval): boolean => Number.isNaN(low);
export const isPoint = ({ low, high }: Interval): boolean => low === high;
export const contains = ({ low, high }: Interval, x: number): boolean => low <= x && x <= high;
export const widthOf = ({ low, high }: Interval): number => high - low;

/** A number near the middle; finite for every interval that is not empty. */
export function middleOf({ low, high }: Interval): number {
  if (low === -high) return 0;
  const [from, to] = [Math.max(low, -Number.MAX_VALUE), Math.min(high, Number.MAX_VALUE)];
  return from / 2 + to / 2;
}

export const point = (x: number): Interval => ({ low: x, high: x });

/** An interval around a decimal number that was parsed to the nearest double. Integers are exact. */
export function enclose(decimal: number): Interval {
  return Number.isInteger(decimal) ? point(decimal) : { low: nextDown(decimal), high: nextUp(decimal) };
}

/** Avoids negative zero, which `Object.is` and printing would distinguish. */
const interval = (low: number, high: number): Interval => ({ low: low + 0, high: high + 0 });

export const negate = ({ low, high }: Interval): Interval => interval(-high, -low);

export function add(a: Interval, b: Interval): Interval {
  return interval(sumBelow(a.low, b.low), -sumBelow(-a.high, -b.high));
}

export const subtract = (a: Interval, b: Interval): Interval => add(a, negate(b));

export function multiply(a: Interval, b: Interval): Interval {
  if (isEmpty(a) || isEmpty(b)) return EMPTY;
  if (a.low >= 0 && b.low >= 0) return interval(productBelow(a.low, b.low), -productBelow(-a.high, b.high));
  const low = Math.min(
    productBelow(a.low, b.low),
    productBelow(a.low, b.high),
    productBelow(a.high, b.low),
    productBelow(a.high, b.high),
  );
  const high = Math.min(
    productBelow(-a.low, b.low),
    productBelow(-a.low, b.high),
    productBelow(-a.high, b.low),
    productBelow(-a.high, b.high),
  );
  return interval(low, -high);
}

/** If the divisor contains zero, the quotient is unbounded on that side; if it contains only zero, the quotient is empty. */
export function divide(a: Interval, b: Interval): Interval {
  if (isEmpty(a) || isEmpty(b) || (b.low === 0 && b.high === 0)) return EMPTY;
  if (a.low === 0 && a.high === 0) return ZERO;
  if (b.low < 0 && b.high > 0) return ENTIRE;
  if (b.high <= 0) return divide(negate(a), negate(b));
  const low = a.low >= 0 ? quotientBelow(a.low, b.high) : lowestQuotient(a.low, b.low);
  const high = a.high <= 0 ? quotientBelow(-a.high, b.high) : lowestQuotient(-a.high, b.low);
  return interval(low, -high);
}

const lowestQuotient = (a: number, b: number): number => (b === 0 ? -Infinity : quotientBelow(a, b));

/** Negative numbers have no square root and are left out. */
export function root(a: Interval): Interval {
  if (isEmpty(a) || a.high < 0) return EMPTY;
  return interval(a.low <= 0 ? 0 : rootBelow(a.low), rootAbove(a.high));
}

/**
 * V8 computes exp, log and pow within one unit in the last place (measured, no standard bounds them), so two steps outward
 * enclose the result.
 */
const below = (x: number): number => (Number.isFinite(x) ? nextDown(nextDown(x)) : overflowed(x));
const above = (x: number): number => -below(-x);
const overflowed = (x: number): number => (x === Infinity ? Number.MAX_VALUE : x);

export function exp(a: Interval): Interval {
  if (isEmpty(a)) return EMPTY;
  const low = a.low === Infinity ? Number.MAX_VALUE : Math.max(0, below(Math.exp(a.low)));
  const high = a.high === -Infinity ? Number.MIN_VALUE : above(Math.exp(a.high));
  return interval(a.low === 0 ? 1 : low, a.high === 0 ? 1 : a.high === Infinity ? Infinity : high);
}

/** Numbers that are not positive have no logarithm and are left out. */
export function ln(a: Interval): Interval {
  if (isEmpty(a) || a.high <= 0) return EMPTY;
  const low = a.low <= 0 ? -Infinity : below(Math.log(a.low));
  return interval(
    a.low === 1 ? 0 : low,
    a.high === 1 ? 0 : a.high === Infinity ? Infinity : above(Math.log(a.high)),
  );
}

/** A power. If the exponent is not a single integer, negative bases are left out. */
export function power(a: Interval, exponent: Interval): Interval {
  if (isEmpty(a) || isEmpty(exponent)) return EMPTY;
  if (isPoint(exponent) && Number.isInteger(exponent.low)) return wholePower(a, exponent.low);
  if (a.high < 0 || (a.high === 0 && exponent.high < 0)) return EMPTY;
  const base = Math.max(0, a.low);
  // The exponent times the logarithm of the base is linear in both, so its extremes are at the corners.
  const corners = [
    base === 0 && contains(exponent, 0) ? 1 : base ** exponent.low,
    base ** exponent.low,
    base ** exponent.high,
    a.high ** exponent.low,
    a.high ** exponent.high,
  ].map((x) => (Number.isNaN(x) ? 1 : x));
  const [low, high] = [Math.min(...corners), Math.max(...corners)];
  return interval(Math.max(0, below(low)), high === 0 ? 0 : high === Infinity ? Infinity : above(high));
}

function wholePower(a: Interval, exponent: number): Interval {
  if (exponent === 0) return point(1);
  if (exponent === 1) return a;
  if (exponent < 0) return divide(point(1), wholePower(a, -exponent));
  if (exponent % 2 === 0) {
    const { low, high } = absolute(a);
    if (exponent === 2) return interval(Math.max(0, productBelow(low, low)), -productBelow(-high, high));
    return interval(Math.max(0, below(low ** exponent)), high === 0 ? 0 : above(high ** exponent));
  }
  return interval(powerBelow(a.low, exponent), -powerBelow(-a.high, exponent));
}

/** A lower bound of an odd power of a number. */
function powerBelow(x: number, exponent: number): number {
  return x === 0 || Math.abs(x) === Infinity ? x : below(x ** exponent);
}

export function absolute(a: Interval): Interval {
  if (a.low >= 0) return a;
  if (a.high <= 0) return negate(a);
  return isEmpty(a) ? EMPTY : { low: 0, high: Math.max(-a.low, a.high) };
}

/** `Math.min` with NaN is NaN, so an empty operand gives an empty result. */
export const minimum = (a: Interval, b: Interval): Interval =>
  interval(Math.min(a.low, b.low), Math.min(a.high, b.high));
export const maximum = (a: Interval, b: Interval): Interval =>
  interval(Math.max(a.low, b.low), Math.max(a.high, b.high));
export const floor = (a: Interval): Interval => interval(Math.floor(a.low), Math.floor(a.high));

/** The numbers in both intervals. */
export function intersection(a: Interval, b: Interval): Interval {
  const [low, high] = [Math.max(a.low, b.low), Math.min(a.high, b.high)];
  return low <= high ? { low, high } : EMPTY;
}

/** The smallest interval that contains both. */
export function hull(a: Interval, b: Interval): Interval {
  if (isEmpty(a)) return b;
  return isEmpty(b) ? a : { low: Math.min(a.low, b.low), high: Math.max(a.high, b.high) };
}
