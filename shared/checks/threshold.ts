/** What a computed number may be off by, as a share of it: far below anything that is measured or meant. */
const ROUNDING = 1e-9;

/**
 * Whether a number passes a limit by more than the rounding of what it was computed from: 6090 rpm is not more than 5 %
 * above 5800 rpm.
 */
export function passes(value: number, limit: number): boolean {
  return value - limit > ROUNDING * Math.max(Math.abs(value), Math.abs(limit));
}
