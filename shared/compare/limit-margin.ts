import type { Limit } from '../limits/limits.ts';

/**
 * The margin between a value and its limit, before and now, in the value's canonical unit; negative beyond the limit.
 */
export interface LimitMargin {
  readonly label: string;
  readonly side: Limit['side'];
  /** The limit now or, if it was removed, before. */
  readonly canonical: number;
  readonly was: number | undefined;
  readonly is: number | undefined;
  /** The key path of the limit, or the id of the check whose threshold it is. */
  readonly at: string;
  /** The key path of what is beyond it: the place of the value; of a bound, what has failed or the limit. */
  readonly place: string;
  /** The ids of the checks that report a value beyond it. */
  readonly checks: readonly string[];
  /** Why the file, or a baseline, accepts that the value is beyond the limit. */
  readonly accepted?: string;
}

/** Whether a value is beyond its limit now. */
export const isBeyondNow = ({ is }: LimitMargin): boolean => is !== undefined && is < 0;

/** Whether a value is beyond its limit now and was not before. */
export function passed({ was, is }: LimitMargin): boolean {
  return is !== undefined && is < 0 && (was === undefined || was >= 0);
}

/** Whether a value was beyond its limit and is further beyond it now. */
export function isFurtherBeyond({ was, is }: LimitMargin): boolean {
  return was !== undefined && is !== undefined && was < 0 && is < was;
}

/** Whether a value had a limit and has none any more. */
export const isLimitRemoved = ({ is }: LimitMargin): boolean => is === undefined;

export function isCloser({ was, is }: LimitMargin): boolean {
  return is !== undefined && (was === undefined || is < was);
}
