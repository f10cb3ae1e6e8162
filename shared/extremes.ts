/**
 * The maximum of some numbers: -Infinity if there are none, NaN if one is NaN. `Math.max` takes its arguments on the
 * stack, which overflows for long lists, and files can contain lists of any length.
 */
export function maximumOf(numbers: Iterable<number>): number {
  let most = Number.NEGATIVE_INFINITY;
  for (const number of numbers) most = Math.max(most, number);
  return most;
}

/** The minimum of any count of numbers, like `maximumOf`: Infinity if there are none, NaN if one is NaN. */
export function minimumOf(numbers: Iterable<number>): number {
  let lowest = Number.POSITIVE_INFINITY;
  for (const number of numbers) lowest = Math.min(lowest, number);
  return lowest;
}
