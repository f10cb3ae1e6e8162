/** Relative rounding error of a computed number, far below any difference that is measured or intended. */
const ROUNDING = 1e-9;

/**
 * Whether a number exceeds a limit by more than the rounding error of the computation: 6090 rpm is not more than 5 %
 * above 5800 rpm.
 */
export function passes(value: number, limit: number): boolean {
  return value - limit > ROUNDING * Math.max(Math.abs(value), Math.abs(limit));
}
