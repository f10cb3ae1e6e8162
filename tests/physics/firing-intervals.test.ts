import { expect, test } from 'vitest';
import { shortestPairGap, shortestSparkGap } from '../../shared/physics/firing-intervals.ts';

const EVEN_FOUR = [180, 180, 180, 180];
/** A 45 degree twin with one crank pin. */
const TWIN = [315, 405];
/** A 90 degree six with common crank pins. */
const UNEVEN_SIX = [90, 150, 90, 150, 90, 150];

test('without wasted sparks, the shortest gap is the shortest interval', () => {
  expect(shortestSparkGap(EVEN_FOUR, 720, false)).toBe(180);
  expect(shortestSparkGap(TWIN, 720, false)).toBe(315);
  expect(shortestSparkGap(UNEVEN_SIX, 720, false)).toBe(90);
});

test('wasted sparks fall between those of an uneven engine, and together with those of an even one', () => {
  expect(shortestSparkGap(EVEN_FOUR, 720, true)).toBe(180);
  expect(shortestSparkGap(TWIN, 720, true)).toBe(45);
  expect(shortestSparkGap([240, 240, 240], 720, true)).toBe(120);
});

test('a coil of a pair has the shorter way round', () => {
  expect(shortestPairGap(EVEN_FOUR, 720)).toBe(360);
  expect(shortestPairGap(TWIN, 720)).toBe(315);
  expect(shortestPairGap(UNEVEN_SIX, 720)).toBe(330);
});
