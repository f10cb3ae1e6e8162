import type { Variable } from './envelope.ts';

export type Side = 'high' | 'low';

/** What identifies a bound. */
export interface BoundKey {
  readonly id: string;
  readonly side: Side;
  readonly mapSet: string | undefined;
  /** `fault_pressure`, or `sensors.NAME`; undefined without a fault. */
  readonly fault: string | undefined;
}

/** A number at an end of its tolerance, or a table with all its values at that end. */
export interface AtTolerance {
  /** Its key path. */
  readonly at: string;
  readonly end: 'low' | 'high';
}

/** The highest or lowest value over all states of the envelope, in canonical units. */
export interface Bound extends BoundKey {
  readonly label: string;
  readonly unit: string;
  readonly show: string;
  /** No state exceeds this. */
  readonly bound: number;
  /** The value in the state `witness`. */
  readonly reached: number;
  readonly witness: Readonly<Record<Variable, number>>;
  /** What is at an end of its tolerance in the witness. With everything as written the value is not reached there. */
  readonly atTolerance: readonly AtTolerance[];
  /** The variables that the value depends on. With a stated manifold pressure it does not depend on the throttle. */
  readonly variables: readonly Variable[];
  /** Whether the bound and the reached value are within the requested tolerance. */
  readonly isClosed: boolean;
}

/** The bound that is further out on its side. */
export function furtherOf<Some extends Bound>(a: Some, b: Some): Some {
  return (a.side === 'high' ? b.bound > a.bound : b.bound < a.bound) ? b : a;
}

/** `holds`: no state exceeds the limit; `broken`: some state does; `open`: the search did not decide. */
export type Verdict = 'holds' | 'broken' | 'open';

/** A value that just reaches a limit does not count as exceeding it because of rounding. */
const ROUNDING = 1e-9;

/** The verdict on a limit that a value should not pass on the side of its bound. */
export function verdictOf(
  { side, bound, reached }: Pick<Bound, 'side' | 'bound' | 'reached'>,
  limit: number,
): Verdict {
  const slack = ROUNDING * Math.abs(limit);
  const isPassed = (value: number) => (side === 'high' ? value - limit : limit - value) > slack;
  return isPassed(reached) ? 'broken' : isPassed(bound) ? 'open' : 'holds';
}
