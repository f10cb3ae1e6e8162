import { formatNumber, formatQuantity } from '../quantity/index.ts';

/** `112 %` */
export function percent(ratio: number, digits = 3): string {
  return formatQuantity(ratio, '%', digits);
}

/** `4 %` of difference between a value and what it is held against. */
export function difference(value: number, reference: number): string {
  return percent(Math.abs(value / reference - 1), 2);
}

/** `a, b and c` */
export function listed(words: readonly string[]): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

export { formatNumber, formatQuantity };
