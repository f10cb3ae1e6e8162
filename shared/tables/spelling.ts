import { maximumOf } from '../extremes.ts';

/** How the numbers of a list are written, so that new ones look like their neighbours. */
export interface Spelling {
  readonly decimals: number;
  /** Every number shows all decimals, zeros at the end too. */
  readonly padded: boolean;
}

/** More than these say nothing about an engine and are rounding of the computer's own. */
export const MOST_DECIMALS = 12;

/** The most decimals of any number; padded where all have as many. */
export function spellingOf(texts: readonly string[]): Spelling {
  const decimals = texts.map(decimalsOf);
  const most = Math.max(0, maximumOf(decimals));
  return { decimals: most, padded: decimals.every((count) => count === most) };
}

/** The digits behind the point: 2 of `0.50`, 4 of `1.2e-3`. */
export function decimalsOf(text: string): number {
  const [, fraction = '', exponent = '0'] = /^[-+]?\d*(?:\.(\d*))?(?:e([-+]?\d+))?$/i.exec(text.trim()) ?? [];
  return Math.min(MOST_DECIMALS, Math.max(0, fraction.length - Number(exponent)));
}

export function spell(number: number, { decimals, padded }: Spelling): string {
  const fixed = number.toFixed(decimals);
  const text = padded || !fixed.includes('.') ? fixed : fixed.replace(/\.?0+$/, '');
  // What rounds to nothing has no sign.
  return Number(text) === 0 ? text.replace('-', '') : text;
}

/** The step in which numbers are written: 0.1 for one decimal. */
export function stepOf({ decimals }: Spelling): number {
  return Number(`1e-${decimals}`);
}

/**
 * The fewest decimals that write each number to within a hundredth of its step: what a conversion needs so that nothing
 * of what was written is lost. `step` is in the same unit as the numbers.
 */
export function spellingWithin(numbers: readonly number[], step: number): Spelling {
  const isEnough = (decimals: number) =>
    numbers.every((number) => Math.abs(Number(number.toFixed(decimals)) - number) <= step / 100);
  let decimals = 0;
  while (decimals < MOST_DECIMALS && !isEnough(decimals)) decimals++;
  return { decimals, padded: true };
}
