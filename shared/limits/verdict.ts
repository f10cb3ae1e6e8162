import type { EngineSubject } from '../checks/check.ts';
import type { Bound } from '../proof/bound.ts';
import { type HeldValue, type LimitValue, limitsOf, marginTo } from './limits.ts';

/** `holds`: no state exceeds the limit; `broken`: some state does; `open`: the search did not decide. */
export type Verdict = 'holds' | 'broken' | 'open';

/** A bound with its limit, if it has one. */
export interface JudgedBound extends Bound {
  readonly limit: LimitValue | undefined;
  readonly verdict: Verdict | undefined;
}

/** Rounding alone does not exceed a limit that a value just reaches. */
const ROUNDING = 1e-9;

/** Holds a bound against the limit of its value. */
export function judged(bound: Bound, subject: EngineSubject): JudgedBound {
  const engine = subject.installation.selectable.find(({ mapSet }) => mapSet === bound.mapSet);
  const kind = limitsOf(bound.id).find(({ side }) => (side === 'most') === (bound.side === 'high'));
  if (!engine || !kind) return { ...bound, limit: undefined, verdict: undefined };
  const held: HeldValue = { subject, configuration: engine.configuration, fault: bound.fault };
  const limit = kind.find(held);
  if (!limit) return { ...bound, limit: undefined, verdict: undefined };
  const slack = ROUNDING * Math.abs(limit.value);
  const isPassed = (value: number) => marginTo(kind, limit.value, value) < -slack;
  const verdict = isPassed(bound.reached) ? 'broken' : isPassed(bound.bound) ? 'open' : 'holds';
  return { ...bound, limit, verdict };
}
