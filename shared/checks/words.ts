import { formatNumber, formatQuantity } from '../quantity/index.ts';

/** `112 %` */
export function percent(ratio: number, digits = 3): string {
  return formatQuantity(ratio, '%', digits);
}

/** A share in as few digits, from so many on, as let it differ from the limit that the same sentence names. */
export function percentBeside(ratio: number, limit: number, digits = 3): string {
  const text = percent(ratio, digits);
  return text === percent(limit) && digits < EXACT ? percentBeside(ratio, limit, digits + 1) : text;
}

/** So many digits tell any two shares apart that anyone would. */
const EXACT = 9;

/** `4 %` of difference between a value and what it is held against. */
export function difference(value: number, reference: number): string {
  return percent(Math.abs(value / reference - 1), 2);
}

/** Nobody reads a sentence with more names. */
const MOST_LISTED = 12;

/** `a, b and c`, or `a, b and 70 more` */
export function listed(words: readonly string[], most = MOST_LISTED): string {
  const rest = words.length - most;
  if (rest > 0) return `${words.slice(0, most).join(', ')} and ${rest} more`;
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

export { formatNumber, formatQuantity };
