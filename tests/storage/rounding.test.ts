import { expect, test } from 'vitest';
import { exactNumber, minus, nearestDouble, nearestWhole, over, times } from '../../shared/quantity/exact.ts';

const exact = (text: string) => exactNumber(text)!;

/** Source: computed with Python decimal and fractions; halves away from zero (ISO 80000-1, Annex B, rule B). */
const COUNTS: readonly [number: string, scale: string, offset: string, count: number][] = [
  ['2750.06', '0.125', '0', 22000],
  ['2750.0625', '0.125', '0', 22001],
  ['-40.5', '1', '-40', -1],
  ['215.5', '1', '-40', 256],
  ['0.88', '0.0009765625', '0', 901],
  ['-10.25', '0.5', '0', -21],
  ['10.25', '0.5', '0', 21],
  ['17.35', '0.1', '0', 174],
  ['27.374', '0.05', '0', 547],
  ['101.325', '0.01', '0', 10133],
  ['83.3', '0.4', '0', 208],
  ['845.0', '0.03125', '-273', 35776],
];

test.each(COUNTS)('%s in counts of %s from %s', (number, scale, offset, count) => {
  expect(Number(nearestWhole(over(minus(exact(number), exact(offset)), exact(scale))))).toBe(count);
});

/** Source: as above. The ratio is exactly halfway; as doubles, many of them are not. */
const TIES: readonly [number: string, scale: string, ratio: string][] = [
  ['0.15', '0.1', '1.5'],
  ['0.35', '0.1', '3.5'],
  ['0.65', '0.1', '6.5'],
  ['1.15', '0.1', '11.5'],
  ['17.35', '0.1', '173.5'],
  ['0.075', '0.05', '1.5'],
  ['0.175', '0.05', '3.5'],
  ['0.325', '0.05', '6.5'],
  ['27.375', '0.05', '547.5'],
];

test.each(TIES)('%s is halfway between two counts of %s', (number, scale, ratio) => {
  const counts = over(exact(number), exact(scale));
  expect(nearestDouble(counts)).toBe(Number(ratio));
  expect(Number(nearestWhole(counts))).toBe(Math.trunc(Number(ratio)) + 1);
});

test('every tie of a decimal scale is decided on the text, where a quotient of doubles decides 134 of 400 wrongly', () => {
  // Source of the number: computed with Python fractions, for the first 200 odd multiples of half of each scale.
  let broken = 0;
  for (const [scale, decimals] of [
    ['0.1', 2],
    ['0.05', 3],
  ] as const) {
    for (let count = 0; count < 200; count++) {
      const half = times(exact(scale), exact(`${count}.5`));
      const text = nearestDouble(half).toFixed(decimals);
      expect(Number(nearestWhole(over(exact(text), exact(scale))))).toBe(count + 1);
      if (Math.round(Number(text) / Number(scale)) !== count + 1) broken++;
    }
  }
  expect(broken).toBe(134);
});
