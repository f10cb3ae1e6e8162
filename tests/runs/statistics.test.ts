import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { randomOf } from '../../samples/runs/random.ts';
import { FillingSum } from '../../shared/runs/filling-sum.ts';
import { leastSquares } from '../../shared/runs/householder.ts';
import { Moments, welch } from '../../shared/runs/moments.ts';
import { studentQuantile, studentTail } from '../../shared/runs/student.ts';
import { Triangle } from '../../shared/runs/triangle.ts';

const read = (name: string) => JSON.parse(readFileSync(new URL(name, import.meta.url), 'utf8'));
const { rows: quantiles } = read('student-t.json') as {
  rows: { nu: number; t: Record<string, number>; printed: Record<string, number> }[];
};
const { univariate, linear } = read('nist-strd.json') as {
  univariate: Record<
    string,
    { certified: Record<'mean' | 's' | 'r1', string>; digits: number; n?: number; y?: string[] }
  >;
  linear: Record<
    string,
    {
      model: string;
      digits: number;
      rows: string[][];
      certified: {
        estimate: Record<string, string>;
        sd: Record<string, string>;
        residual_sd: string;
      };
    }
  >;
};

/** The correct digits of a number: the logarithm of its relative error, 15 if all are right (NIST StRD). */
const digitsOf = (value: number, certified: number): number =>
  value === certified
    ? 15
    : Math.min(15, -Math.log10(Math.abs(value - certified) / Math.abs(certified || 1)));

describe("Student's t", () => {
  test.each(quantiles)('$nu degrees of freedom', ({ nu, t, printed }) => {
    for (const [p, value] of Object.entries(t))
      expect(Math.abs(studentQuantile(Number(p), nu) / value - 1), p).toBeLessThan(1e-12);
    for (const [p, value] of Object.entries(printed))
      expect(Math.abs(studentQuantile(Number(p), nu) - value), p).toBeLessThan(5.001e-4);
  });

  test('of one degree of freedom is the tangent, of very many the normal quantile', () => {
    expect(studentTail(1, 1)).toBeCloseTo(0.25, 15);
    expect(studentQuantile(0.975, 1e6)).toBeCloseTo(1.959964, 4);
    expect(studentQuantile(0.975, 7.4)).toBeGreaterThan(studentQuantile(0.975, 8));
    expect(studentQuantile(0.975, 0)).toBe(Number.POSITIVE_INFINITY);
  });
});

/** NumAcc2 to 4: a first value, then two alternating ones around it. */
function seriesOf(name: string): number[] {
  const { y, n, certified } = univariate[name]!;
  if (y) return y.map(Number);
  const mean = certified.mean.replace('.2', '');
  return Array.from({ length: n! }, (_, i) => Number(`${mean}.${i === 0 ? 2 : i % 2 === 1 ? 1 : 3}`));
}

describe('mean, standard deviation and correlation of neighbours (NIST StRD)', () => {
  test.each(Object.keys(univariate))('%s', (name) => {
    const { certified, digits } = univariate[name]!;
    const moments = new Moments();
    for (const value of seriesOf(name)) moments.add(value);
    expect(digitsOf(moments.mean, Number(certified.mean))).toBeGreaterThan(14);
    // Welford's method loses up to one digit more than two passes.
    expect(digitsOf(moments.deviation, Number(certified.s))).toBeGreaterThan(digits - 1);
    expect(digitsOf(moments.correlation, Number(certified.r1))).toBeGreaterThan(digits - 6);
  });

  test.each(Object.keys(univariate))('%s in parts, in any order', (name) => {
    const series = seriesOf(name);
    const parts = [series.slice(0, 7), series.slice(7, 8), series.slice(8)].map((values) => {
      const moments = new Moments();
      for (const value of values) moments.add(value);
      return Moments.from(JSON.parse(JSON.stringify(moments.toList())));
    });
    const merged = new Moments();
    for (const part of [parts[2]!, new Moments(), parts[0]!, parts[1]!]) merged.merge(part);
    expect(merged.count).toBe(series.length);
    expect(digitsOf(merged.mean, Number(univariate[name]!.certified.mean))).toBeGreaterThan(13.5);
    expect(digitsOf(merged.deviation, Number(univariate[name]!.certified.s))).toBeGreaterThan(
      univariate[name]!.digits - 1.5,
    );
  });
});

const POWERS: Readonly<Record<string, number>> = { poly1: 1, poly2: 2, poly5: 5, poly10: 10 };

/** The numbers of a row of a data set, the target last. */
function modelRow(model: string, [target, ...given]: readonly number[]): number[] {
  const [x = 0] = given;
  if (model === 'noint') return [x, target!];
  if (model === 'multi') return [1, ...given, target!];
  return [...Array.from({ length: POWERS[model]! + 1 }, (_, power) => x ** power), target!];
}

describe('linear least squares (NIST StRD)', () => {
  test.each(Object.keys(linear))('%s', (name) => {
    const { model, rows, certified, digits } = linear[name]!;
    // Longley and the polynomials state y first.
    const table = rows.map((row) => modelRow(model, row.map(Number)));
    const width = table[0]!.length - 1;
    const found = leastSquares(table, width)!;
    const variance = found.residual / (table.length - width);
    const estimates = Object.values(certified.estimate).map(Number);
    const worst = Math.min(...estimates.map((value, i) => digitsOf(found.values[i]!, value)));
    expect(worst).toBeGreaterThanOrEqual(digits);
    const errors = Object.values(certified.sd).map(Number);
    if (errors.every((error) => error > 0))
      for (const [i, error] of errors.entries())
        expect(digitsOf(Math.sqrt(variance * found.inverse[i * width + i]!), error)).toBeGreaterThan(
          Math.min(digits, 6) - 0.5,
        );
  });

  test('columns that do not determine the coefficients have no solution', () => {
    expect(
      leastSquares(
        [
          [1, 1, 2],
          [2, 2, 4],
          [3, 3, 6],
        ],
        2,
      ),
    ).toBeUndefined();
    expect(leastSquares([[0, 1, 2]], 2)).toBeUndefined();
  });
});

test('the factors of parts have the same solution as all rows at once', () => {
  const random = randomOf(7);
  const rows = Array.from({ length: 60 }, () => {
    const x = Array.from({ length: 4 }, () => random.uniform(-1, 1));
    return Float64Array.of(...x, x[0]! + 2 * x[1]! - x[2]! + 0.5 * x[3]! + random.normal() / 100);
  });
  const whole = leastSquares(rows, 4)!;
  const parts = [new Triangle(4), new Triangle(4), new Triangle(4)];
  for (const [i, row] of rows.entries()) parts[i % 3]!.add(row.slice());
  const merged = new Triangle(4);
  for (const part of parts.reverse())
    merged.merge(Triangle.from(4, JSON.parse(JSON.stringify([...part.cells]))));
  const found = leastSquares(merged.rows(), 4)!;
  for (let i = 0; i < 4; i++) expect(found.values[i]).toBeCloseTo(whole.values[i]!, 12);
  expect(found.residual).toBeCloseTo(whole.residual, 12);
});

/** The share of runs whose 95 % interval holds the truth. */
function coverage(runs: number, holds: () => boolean): number {
  let held = 0;
  for (let i = 0; i < runs; i++) if (holds()) held++;
  return held / runs;
}

describe('95 % intervals hold the truth in 93 to 97 % of the cases', () => {
  const random = randomOf(11);
  /** Noise of a first-order process with a correlation between neighbours. */
  const noiseOf = (count: number, correlation: number): Moments => {
    const moments = new Moments();
    let state = random.normal();
    for (let i = 0; i < count; i++) {
      moments.add(state);
      state = correlation * state + Math.sqrt(1 - correlation ** 2) * random.normal();
    }
    return moments;
  };

  test.each([
    [10, 0],
    [30, 0],
    [300, 0],
    [300, 0.3],
    [300, 0.6],
    [1000, 0.8],
  ])('the mean of %d rows with a correlation of %d', (count, correlation) => {
    const share = coverage(4000, () => {
      const moments = noiseOf(count, correlation);
      return Math.abs(moments.mean) <= moments.halfWidth;
    });
    expect(share).toBeGreaterThan(0.93);
    expect(share).toBeLessThan(0.97);
  });

  test.each([
    [8, 30],
    [50, 50],
    [400, 20],
  ])('the difference of %d and %d rows of different spread', (first, second) => {
    const share = coverage(4000, () => {
      const [a, b] = [noiseOf(first, 0), new Moments()];
      for (let i = 0; i < second; i++) b.add(1 + 3 * random.normal());
      const { mean, half } = welch(a, b)!;
      return Math.abs(mean - 1) <= half;
    });
    expect(share).toBeGreaterThan(0.93);
    expect(share).toBeLessThan(0.97);
  });
});

test.each([999, 1000, 1001, 2001])('a stretch of %i rows counts with every row', (rows) => {
  const sum = new FillingSum({ at: '', x: [1000, 2000], y: [50_000, 100_000], now: [0.8, 0.8, 0.9, 0.9] });
  for (let i = 0; i < rows; i++) sum.add(1500, 75_000, 0.85 + 0.01 * Math.cos(i), 0);
  sum.endStretch();
  expect(sum.rows).toBe(rows);
  expect(sum.within.count).toBe(rows);
  // One long stretch is several of at most a thousand rows.
  expect(sum.stretches).toBe(Math.ceil(rows / 1000));
});
