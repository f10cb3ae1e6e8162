/**
 * The greatest of numbers, of none -Infinity, NaN where one is no number. How many there are is for a file to say, and
 * `Math.max` takes no more than fit on the stack.
 */
export function maximumOf(numbers: Iterable<number>): number {
  let most = Number.NEGATIVE_INFINITY;
  for (const number of numbers) most = Math.max(most, number);
  return most;
}

/** The least of numbers, of none Infinity, NaN where one is no number; of any count, as `maximumOf`. */
export function minimumOf(numbers: Iterable<number>): number {
  let lowest = Number.POSITIVE_INFINITY;
  for (const number of numbers) lowest = Math.min(lowest, number);
  return lowest;
}
