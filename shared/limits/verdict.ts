import type { EngineSubject } from '../checks/check.ts';
import { type Bound, type Verdict, verdictOf } from '../proof/bound.ts';
import { type HeldValue, type LimitValue, limitsOf } from './limits.ts';

export type { Verdict };

/** A bound with its limit, if it has one. */
export interface JudgedBound extends Bound {
  readonly limit: LimitValue | undefined;
  readonly verdict: Verdict | undefined;
}

/** Holds a bound against the limit of its value. */
export function judged(bound: Bound, subject: EngineSubject): JudgedBound {
  const engine = subject.installation.selectable.find(({ mapSet }) => mapSet === bound.mapSet);
  const kind = limitsOf(bound.id).find(({ side }) => (side === 'most') === (bound.side === 'high'));
  if (!engine || !kind) return { ...bound, limit: undefined, verdict: undefined };
  const held: HeldValue = { subject, configuration: engine.configuration, fault: bound.fault };
  const limit = kind.find(held);
  return { ...bound, limit, verdict: limit && verdictOf(bound, limit.value) };
}
