import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  degreesPerTooth,
  edgesPerSecond,
  gapDuration,
  gapStart,
  timeToSync,
} from '../../shared/physics/toothed-wheel.ts';

test('a 60 − 2 wheel has 6° a tooth and, at 6000 rpm, 6000 edges a second and a gap of 0.5 ms', () => {
  const [teeth, missing, speed] = [60, 2, 6000];
  expect(degreesPerTooth({ teeth })).toBe(6);
  expect(edgesPerSecond({ teeth, speed })).toBe(6000);
  expect(gapDuration({ teeth, missing, speed })).toBeCloseTo(0.5e-3, 12);
});

test('the gap begins one tooth and the missing ones ahead of its next tooth', () => {
  expect(gapStart({ firstTooth: 84, teeth: 60, missing: 2 })).toBe(102);
  expect(gapStart({ firstTooth: 350, teeth: 36, missing: 1 })).toBe(370);
  expect(gapStart({ firstTooth: -100, teeth: 36, missing: 1 })).toBe(-80);
});

test('teeth and gap make one revolution', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 4, max: 120 }),
      fc.integer({ min: 1, max: 2 }),
      fc.integer({ min: 100, max: 9000 }),
      (teeth, missing, speed) => {
        const tooth = 1 / edgesPerSecond({ teeth, speed });
        const revolution = (teeth - missing - 1) * tooth + gapDuration({ teeth, missing, speed });
        expect(revolution / (60 / speed)).toBeCloseTo(1, 9);
      },
    ),
  );
});

/** Turns a wheel from each of many starting positions; returns the largest angle until the gap was known. */
function latestSync(teeth: number, missing: number): number {
  const pitch = 360 / teeth;
  const edges = Array.from({ length: 3 * teeth }, (_, i) => i)
    .filter((i) => i % teeth < teeth - missing)
    .map((i) => i * pitch);
  let latest = 0;
  for (let rest = 0; rest < 360; rest += pitch / 16) {
    const seen = edges.filter((edge) => edge > rest);
    const at = seen.findIndex(
      (edge, i) => i >= 2 && edge - seen[i - 1]! > 1.5 * (seen[i - 1]! - seen[i - 2]!),
    );
    latest = Math.max(latest, seen[at]! - rest);
  }
  return latest;
}

test.each([
  [60, 2],
  [36, 1],
  [12, 1],
])(
  'no rest of a %d − %d wheel needs longer than the stated time, and some needs nearly as long',
  (teeth, missing) => {
    const speed = 200;
    const stated = timeToSync({ teeth, missing, speed }) * 6 * speed;
    const found = latestSync(teeth, missing);
    expect(found).toBeLessThanOrEqual(stated + 1e-9);
    expect(found).toBeGreaterThan(stated - 360 / teeth / 8);
  },
);
