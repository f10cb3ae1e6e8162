import { ENTIRE, hull, type Interval, isPoint, point } from '../arithmetic/interval.ts';
import { intervalArithmetic, intervalSlopes, numberSlopes, type Sloped } from '../arithmetic/slopes.ts';
import type { Formula } from '../physics/formula.ts';

/**
 * The range of a formula over ranges of its operands, with slopes. If the formula is monotonic in an operand, only the
 * ends of that operand matter, so an operand that occurs twice in the expression does not widen the result.
 */
export function rangeOf(formula: Formula, operands: readonly Sloped<Interval>[]): Sloped<Interval> {
  if (operands.every(({ value }) => isPoint(value)) && operands.every(({ slopes }) => slopes.length === 0)) {
    return { value: formula.in(intervalArithmetic)(operands.map(({ value }) => value)), slopes: [] };
  }
  const local = formula.in(intervalSlopes)(
    operands.map(({ value }, i) => ({ value, slopes: operands.map((_, j) => (i === j ? ONE : undefined)) })),
  );
  const end = (side: 'low' | 'high'): number => {
    const other = side === 'low' ? 'high' : 'low';
    const ends = operands.map(({ value }, i) => {
      const slope = local.slopes[i] ?? ZERO;
      if (slope.low >= 0) return point(value[side]);
      return slope.high <= 0 ? point(value[other]) : value;
    });
    return formula.in(intervalArithmetic)(ends)[side];
  };
  const value = { low: Math.max(local.value.low, end('low')), high: Math.min(local.value.high, end('high')) };
  return { value, slopes: chained(local.slopes, operands) };
}

const ONE: Interval = { low: 1, high: 1 };
const ZERO: Interval = { low: 0, high: 0 };

/** The chain rule: for each variable, the sum over all operands of the slope of the result times the operand's own. */
export function chained(
  slopes: Sloped<Interval>['slopes'],
  operands: readonly Sloped<Interval>[],
): Sloped<Interval>['slopes'] {
  const count = Math.max(...operands.map((operand) => operand.slopes.length));
  return Array.from({ length: count }, (_, variable) => {
    let sum: Interval | undefined;
    operands.forEach((operand, i) => {
      const [by, slope] = [slopes[i], operand.slopes[variable]];
      if (!by || !slope) return;
      const part = intervalArithmetic.multiply(by, slope);
      sum = sum ? intervalArithmetic.add(sum, part) : part;
    });
    return sum;
  });
}

type Ranges<T> = readonly { readonly of: T; readonly low: number; readonly high: number }[];

/**
 * One of two ranges, or the hull of both if the condition differs within the box. The result then jumps, so its slope
 * is unbounded for every variable that the condition depends on.
 */
export function chooseRange(
  within: Sloped<Interval>,
  outside: Sloped<Interval>,
  ranges: Ranges<Sloped<Interval>>,
): Sloped<Interval> {
  if (ranges.some(({ of: { value }, low, high }) => value.high < low || value.low > high)) return outside;
  if (ranges.every(({ of: { value }, low, high }) => low <= value.low && value.high <= high)) return within;
  const all = [within, outside, ...ranges.map(({ of }) => of)];
  const count = Math.max(...all.map(({ slopes }) => slopes.length));
  const slopes = Array.from({ length: count }, (_, i) => {
    if (ranges.some(({ of }) => of.slopes[i])) return ENTIRE;
    const [a, b] = [within.slopes[i], outside.slopes[i]];
    return a || b ? hull(a ?? ZERO, b ?? ZERO) : undefined;
  });
  return { value: hull(within.value, outside.value), slopes };
}

export const numberOf = (formula: Formula, operands: readonly number[]): number => formula.of(operands);

/** A number with its slopes. */
export const slopedNumberOf = (formula: Formula, operands: readonly Sloped<number>[]): Sloped<number> =>
  formula.in(numberSlopes)(operands);
