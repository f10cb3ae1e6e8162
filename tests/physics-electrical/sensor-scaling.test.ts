import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  converterStep,
  scaledValue,
  scalingEndpoints,
  unitsPerStep,
} from '../../shared/physics/sensor-scaling.ts';

/** A manifold pressure sensor, 0.40 V at 20 kPa and 4.65 V at 300 kPa; invented. */
const MANIFOLD = [
  { input: 0.4, value: 20_000 },
  { input: 4.65, value: 300_000 },
];

describe('two points', () => {
  test('give the value at both ends of the input and at the fault bounds', () => {
    // 280 kPa over 4.25 V is 65.882 kPa per volt.
    const ends = scalingEndpoints(MANIFOLD, [0, 5], [0.2, 4.8])!;
    expect(ends.atMinimum).toBeCloseTo(-6352.94, 2);
    expect(ends.atLowerBound).toBeCloseTo(6823.53, 2);
    expect(ends.atUpperBound).toBeCloseTo(309882.35, 2);
    expect(ends.atMaximum).toBeCloseTo(323058.82, 2);
    expect(scalingEndpoints(MANIFOLD, [0, 5])).toEqual({
      atMinimum: ends.atMinimum,
      atMaximum: ends.atMaximum,
    });
  });

  test('are met exactly, in whatever order they are given', () => {
    for (const points of [MANIFOLD, [...MANIFOLD].reverse()]) {
      for (const { input, value } of MANIFOLD) expect(scaledValue(points, input)).toBeCloseTo(value, 9);
    }
  });

  test('a bit is 80 Pa on 12 bits over 5 V', () => {
    const step = converterStep({ span: 5, bits: 12 });
    expect(step).toBeCloseTo(5 / 4095, 15);
    expect(unitsPerStep(MANIFOLD, step)).toBeCloseTo(80.44, 2);
  });

  test('a falling scaling has the same resolution as a rising one', () => {
    const falling = MANIFOLD.map(({ input, value }) => ({ input: 5 - input, value }));
    expect(unitsPerStep(falling, 0.001)).toBeCloseTo(unitsPerStep(MANIFOLD, 0.001)!, 9);
  });
});

describe('more points', () => {
  const bent = [
    { input: 1, value: 0 },
    { input: 2, value: 10 },
    { input: 4, value: 70 },
  ];

  test('are joined by straight lines, the outer ones carried on', () => {
    expect([0, 1.5, 3, 5].map((input) => scaledValue(bent, input))).toEqual([-10, 5, 40, 100]);
  });

  test('the steepest line is the worst place, wherever it is', () => {
    expect(unitsPerStep(bent, 0.1)).toBeCloseTo(3, 12);
    const mirrored = bent.map(({ input, value }) => ({ input: 5 - input, value }));
    expect(unitsPerStep(mirrored, 0.1)).toBeCloseTo(3, 12);
  });

  test('one step of the input never changes the value by more', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 4.9, noNaN: true }), (input) => {
        const change = scaledValue(bent, input + 0.1)! - scaledValue(bent, input)!;
        expect(Math.abs(change)).toBeLessThanOrEqual(unitsPerStep(bent, 0.1)! + 1e-9);
      }),
    );
  });
});

test('points that make no line give no value', () => {
  const [one] = MANIFOLD;
  const twice = [...MANIFOLD, { ...one!, value: 1 }];
  for (const points of [[], [one!], [one!, { ...one!, value: 1 }], twice]) {
    expect(scaledValue(points, 1)).toBeUndefined();
    expect(unitsPerStep(points, 0.001)).toBeUndefined();
    expect(scalingEndpoints(points, [0, 5])).toBeUndefined();
  }
});
