import { type Arithmetic, numbers } from './expression.ts';
import type { Interval } from './interval.ts';
import * as intervals from './interval.ts';

/** A value with its derivatives with respect to some inputs; undefined means zero. */
export interface Sloped<T> {
  readonly value: T;
  readonly slopes: readonly (T | undefined)[];
}

/** Operations that derivatives need beyond those of an arithmetic. */
export interface SlopeArithmetic<T> extends Arithmetic<T> {
  /** −1 if a is certainly less than b, 1 if it certainly is not, 0 if either is possible. */
  order(a: T, b: T): -1 | 0 | 1;
  /** One of two values, if it is unknown which. */
  either(a: T, b: T): T;
  /** All possible slopes of a function that never decreases. */
  readonly rising: T;
}

/**
 * Values with exact derivatives (forward mode): for numbers, the derivative at that point; for intervals, an enclosure
 * of all derivatives in them. At the kinks of `min`, `max` and `|…|` it encloses the derivatives on both sides.
 */
export function withSlopes<T>(base: SlopeArithmetic<T>): Arithmetic<Sloped<T>> {
  const [zero, one, two] = [base.constant(0), base.constant(1), base.constant(2)];
  type S = Sloped<T>;
  const chain = (value: T, a: S, by: () => T): S => {
    if (a.slopes.length === 0) return { value, slopes: [] };
    const factor = by();
    return {
      value,
      slopes: a.slopes.map((slope) => (slope === undefined ? undefined : base.multiply(slope, factor))),
    };
  };
  /** The weighted sum of the slopes of both operands. */
  const both = (value: T, a: S, byA: () => T, b: S, byB: () => T): S => {
    if (b.slopes.length === 0) return chain(value, a, byA);
    if (a.slopes.length === 0) return chain(value, b, byB);
    const [left, right] = [chain(value, a, byA).slopes, chain(value, b, byB).slopes];
    return {
      value,
      slopes: left.map((slope, i) => sum(slope, right[i])),
    };
  };
  const sum = (a: T | undefined, b: T | undefined): T | undefined =>
    a === undefined || b === undefined ? (a ?? b) : base.add(a, b);
  const plus = () => one;
  const minus = () => base.negate(one);
  const choose = (value: T, a: S, b: S, order: -1 | 0 | 1): S => {
    if (order !== 0) return { value, slopes: (order < 0 ? a : b).slopes };
    const count = Math.max(a.slopes.length, b.slopes.length);
    const slopes = Array.from({ length: count }, (_, i) => {
      const [left, right] = [a.slopes[i], b.slopes[i]];
      if (left === undefined && right === undefined) return undefined;
      return base.either(left ?? zero, right ?? zero);
    });
    return { value, slopes };
  };
  return {
    constant: (decimal) => ({ value: base.constant(decimal), slopes: [] }),
    negate: (a) => chain(base.negate(a.value), a, minus),
    exp(a) {
      const value = base.exp(a.value);
      return chain(value, a, () => value);
    },
    ln: (a) => chain(base.ln(a.value), a, () => base.divide(one, a.value)),
    root(a) {
      const value = base.root(a.value);
      return chain(value, a, () => base.divide(one, base.multiply(two, value)));
    },
    absolute: (a) => choose(base.absolute(a.value), chain(zero, a, minus), a, base.order(a.value, zero)),
    floor: (a) => chain(base.floor(a.value), a, () => base.rising),
    add: (a, b) => both(base.add(a.value, b.value), a, plus, b, plus),
    subtract: (a, b) => both(base.subtract(a.value, b.value), a, plus, b, minus),
    multiply: (a, b) =>
      both(
        base.multiply(a.value, b.value),
        a,
        () => b.value,
        b,
        () => a.value,
      ),
    divide(a, b) {
      const value = base.divide(a.value, b.value);
      const byA = () => base.divide(one, b.value);
      return both(value, a, byA, b, () => base.negate(base.divide(value, b.value)));
    },
    power(a, b) {
      const value = base.power(a.value, b.value);
      const byA = () => base.multiply(b.value, base.power(a.value, base.subtract(b.value, one)));
      return both(value, a, byA, b, () => base.multiply(value, base.ln(a.value)));
    },
    minimum: (a, b) => choose(base.minimum(a.value, b.value), a, b, base.order(a.value, b.value)),
    maximum(a, b) {
      return choose(base.maximum(a.value, b.value), b, a, base.order(a.value, b.value));
    },
  };
}

export const numberSlopes: Arithmetic<Sloped<number>> = withSlopes({
  ...numbers,
  order: (a, b) => (a < b ? -1 : 1),
  either: (a) => a,
  rising: 0,
});

export const intervalArithmetic: Arithmetic<Interval> = {
  ...intervals,
  constant: intervals.enclose,
};

export const intervalSlopes: Arithmetic<Sloped<Interval>> = withSlopes({
  ...intervalArithmetic,
  order: (a, b) => (a.high < b.low ? -1 : a.low >= b.high ? 1 : 0),
  either: intervals.hull,
  rising: { low: 0, high: Infinity },
});
