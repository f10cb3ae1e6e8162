import type { Variable } from './envelope.ts';

export type Side = 'high' | 'low';

/** What a bound is of. */
export interface BoundKey {
  readonly id: string;
  readonly side: Side;
  readonly mapSet: string | undefined;
  /** `fault_pressure`, or `sensors.NAME`; undefined without a fault. */
  readonly fault: string | undefined;
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
  /** Whether the bound and the reached value are within the requested tolerance. */
  readonly isClosed: boolean;
}

/** The bound that is further out on its side. */
export function furtherOf(a: Bound, b: Bound): Bound {
  return (a.side === 'high' ? b.bound > a.bound : b.bound < a.bound) ? b : a;
}

/** Rounding alone does not exceed a limit that a value just reaches. */
const ROUNDING = 1e-9;

/** Whether a value exceeds an upper limit. */
export const exceeds = (value: number, limit: number): boolean => value > limit + ROUNDING * Math.abs(limit);

/** Whether the bound and the reached value are on the same side of an upper limit. */
export const isDecided = (limit: number, bound: number, reached: number): boolean =>
  exceeds(reached, limit) === exceeds(bound, limit);
