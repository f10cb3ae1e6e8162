import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Interval } from '../../shared/arithmetic/interval.ts';
import * as intervals from '../../shared/arithmetic/interval.ts';
import published from './itf1788.json' with { type: 'json' };

type End = number | string;
type Written = readonly End[] | string | null;

const { add, subtract, multiply, divide, power, point } = intervals;

/** The operations of the published cases and their names here. */
const OPERATIONS: Readonly<Record<string, (...args: Interval[]) => Interval>> = {
  neg: intervals.negate,
  add,
  sub: subtract,
  mul: multiply,
  div: divide,
  recip: (a) => divide(point(1), a),
  sqr: (a) => power(a, point(2)),
  sqrt: intervals.root,
  pown: power,
  exp: intervals.exp,
  log: intervals.ln,
  abs: intervals.absolute,
  min: intervals.minimum,
  max: intervals.maximum,
  floor: intervals.floor,
  intersection: intervals.intersection,
  convexHull: intervals.hull,
};

/** Operations with the tightest result in doubles; the others may be a few doubles wider. */
const TIGHT = new Set([
  'neg',
  'add',
  'sub',
  'mul',
  'div',
  'recip',
  'sqrt',
  'abs',
  'min',
  'max',
  'floor',
  'intersection',
  'convexHull',
]);

function readInterval(written: Written | number): Interval {
  if (typeof written === 'number') return point(written);
  if (!Array.isArray(written) || written.length === 0) return intervals.EMPTY;
  const [low, high] = written.map((end) =>
    typeof end === 'number' ? end : end.startsWith('-') ? -Infinity : Infinity,
  );
  return { low: low!, high: high! };
}

describe('cases of the test suite of IEEE 1788', () => {
  const named = published.rows.map((row, i) => ({
    ...row,
    name: `${row.op} ${i}: ${JSON.stringify(row.args)}`,
  }));
  test.each(named)('$name', ({ op, args, tightest }) => {
    const result = OPERATIONS[op]!(...args.map((one) => readInterval(one as Written | number)));
    const wanted = readInterval(tightest as Written);
    if (intervals.isEmpty(wanted) || TIGHT.has(op)) expect(result).toEqual(wanted);
    expect(result.low <= wanted.low || intervals.isEmpty(wanted)).toBe(true);
    expect(result.high >= wanted.high || intervals.isEmpty(wanted)).toBe(true);
  });
});

const number = fc.oneof(
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.double({ min: -1000, max: 1000, noNaN: true }),
  fc.integer({ min: -10, max: 10 }),
);
/** An interval and a number in it. */
const sample = fc
  .tuple(number, number, number)
  .map((three) => three.sort((a, b) => a - b))
  .map(([low, inside, high]) => ({ interval: { low: low!, high: high! }, inside: inside! }));

const TWO: Readonly<
  Record<string, [(a: Interval, b: Interval) => Interval, (a: number, b: number) => number]>
> = {
  add: [add, (a, b) => a + b],
  subtract: [subtract, (a, b) => a - b],
  multiply: [multiply, (a, b) => a * b],
  divide: [divide, (a, b) => a / b],
  minimum: [intervals.minimum, Math.min],
  maximum: [intervals.maximum, Math.max],
  // For a negative base, only a single integer exponent is allowed; see below.
  power: [power, (a, b) => (a < 0 ? Number.NaN : a ** b)],
};
const ONE: Readonly<Record<string, [(a: Interval) => Interval, (a: number) => number]>> = {
  negate: [intervals.negate, (a) => -a],
  root: [intervals.root, Math.sqrt],
  exp: [intervals.exp, Math.exp],
  ln: [intervals.ln, (a) => (a > 0 ? Math.log(a) : Number.NaN)],
  absolute: [intervals.absolute, Math.abs],
  floor: [intervals.floor, Math.floor],
};

test.each(Object.entries(TWO))('%s encloses what numbers in its operands give', (_, [operation, compute]) => {
  fc.assert(
    fc.property(sample, sample, (a, b) => {
      const result = compute(a.inside, b.inside);
      // If only rounding makes a number infinite, the exact result is finite.
      if (Number.isNaN(result) || !Number.isFinite(result)) return;
      expect(intervals.contains(operation(a.interval, b.interval), result)).toBe(true);
    }),
    { numRuns: 2000 },
  );
});

test.each(Object.entries(ONE))('%s encloses what numbers in its operand give', (_, [operation, compute]) => {
  fc.assert(
    fc.property(sample, ({ interval, inside }) => {
      const result = compute(inside);
      if (Number.isNaN(result) || !Number.isFinite(result)) return;
      expect(intervals.contains(operation(interval), result)).toBe(true);
    }),
    { numRuns: 2000 },
  );
});

test('a whole power encloses those of every base', () => {
  fc.assert(
    fc.property(sample, fc.integer({ min: -5, max: 5 }), ({ interval, inside }, exponent) => {
      const result = inside ** exponent;
      if (!Number.isFinite(result) || (inside === 0 && exponent <= 0)) return;
      expect(intervals.contains(power(interval, point(exponent)), result)).toBe(true);
    }),
    { numRuns: 2000 },
  );
});

test('a decimal number is enclosed, a whole number is itself', () => {
  expect(intervals.enclose(5800)).toEqual(point(5800));
  const { low, high } = intervals.enclose(287.05);
  expect(low < 287.05 && 287.05 < high && high - low < 1e-12).toBe(true);
});

test('the middle of an interval is in it, however wide it is', () => {
  fc.assert(
    fc.property(sample, ({ interval }) => {
      expect(intervals.contains(interval, intervals.middleOf(interval))).toBe(true);
    }),
  );
  expect(intervals.middleOf(intervals.ENTIRE)).toBe(0);
  expect(intervals.middleOf({ low: 0, high: Infinity })).toBeGreaterThan(1e300);
});
