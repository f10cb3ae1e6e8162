import { maximumOf } from './extremes.ts';

/** How the numbers of a list are written, so that new ones match them. */
export interface Spelling {
  readonly decimals: number;
  /** Every number has all decimals, including trailing zeros. */
  readonly padded: boolean;
}

/** Further decimals are floating-point rounding. */
export const MAX_DECIMALS = 12;

/** The largest number of decimals; padded if all numbers have as many. */
export function spellingOf(texts: readonly string[]): Spelling {
  const decimals = texts.map(decimalsOf);
  const most = Math.max(0, maximumOf(decimals));
  return { decimals: most, padded: decimals.every((count) => count === most) };
}

/** The number of decimals: 2 for `0.50`, 4 for `1.2e-3`. */
export function decimalsOf(text: string): number {
  const [, fraction = '', exponent = '0'] = /^[-+]?\d*(?:\.(\d*))?(?:e([-+]?\d+))?$/i.exec(text.trim()) ?? [];
  return Math.min(MAX_DECIMALS, Math.max(0, fraction.length - Number(exponent)));
}

export function spell(number: number, { decimals, padded }: Spelling): string {
  const fixed = number.toFixed(decimals);
  const text = padded || !fixed.includes('.') ? fixed : fixed.replace(/\.?0+$/, '');
  // Zero has no sign.
  return Number(text) === 0 ? text.replace('-', '') : text;
}

/** The step in which numbers are written: 0.1 for one decimal. */
export function stepOf({ decimals }: Spelling): number {
  return Number(`1e-${decimals}`);
}

/**
 * The fewest decimals that keep each number within a hundredth of `step`, so that a conversion loses nothing of what was
 * written. `step` is in the unit of the numbers.
 */
export function spellingWithin(numbers: readonly number[], step: number): Spelling {
  const isEnough = (decimals: number) =>
    numbers.every((number) => Math.abs(Number(number.toFixed(decimals)) - number) <= step / 100);
  let decimals = 0;
  while (decimals < MAX_DECIMALS && !isEnough(decimals)) decimals++;
  return { decimals, padded: true };
}
