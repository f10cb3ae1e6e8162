import type { Variable } from './envelope.ts';

export type Side = 'high' | 'low';

/** The highest or lowest value over all states of the envelope, in canonical units. */
export interface Bound {
  readonly id: string;
  readonly label: string;
  readonly unit: string;
  readonly show: string;
  readonly side: Side;
  readonly mapSet: string | undefined;
  /** `fault_pressure`, or `sensors.NAME`; undefined without a fault. */
  readonly fault: string | undefined;
  /** No state exceeds this. */
  readonly bound: number;
  /** The value in the state `witness`. */
  readonly reached: number;
  readonly witness: Readonly<Record<Variable, number>>;
  /** Whether the bound and the reached value are within the requested tolerance. */
  readonly isClosed: boolean;
}

/** The bound that is further out on its side. */
export function furtherOf<Some extends Bound>(a: Some, b: Some): Some {
  return (a.side === 'high' ? b.bound > a.bound : b.bound < a.bound) ? b : a;
}
