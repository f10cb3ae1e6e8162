import type { EngineSubject } from '../checks/check.ts';
import { type Bound, type BoundKey, exceeds, isDecided } from '../proof/bound.ts';
import { Proof, USUAL } from '../proof/proof.ts';
import type { ProofOptions } from '../proof/situation.ts';
import { coverageOf } from './coverage.ts';
import { type HeldValue, type LimitValue, limitsOf } from './limits.ts';
import { furtherTargetsOf } from './margins.ts';

/** `holds`: no state exceeds the limit; `broken`: some state does; `open`: the search did not decide. */
export type Verdict = 'holds' | 'broken' | 'open';

/** A bound with a limit, if it has one. */
export interface JudgedBound extends Bound {
  readonly limit: LimitValue | undefined;
  readonly verdict: Verdict | undefined;
}

/** The bounds of an installation, as narrow as its limits require. */
export const proofOf = (subject: EngineSubject, options: ProofOptions = USUAL): Proof =>
  new Proof(subject.derivation, {
    ...options,
    ...furtherTargetsOf(subject),
    limitsOf: (bound) => limitsOfBound(bound, subject).map(({ value }) => value),
  });

/** Everything that a bound is held against, the limit of the value itself first. */
function limitsOfBound(bound: BoundKey, subject: EngineSubject): readonly LimitValue[] {
  const engine = subject.installation.selectable.find(({ mapSet }) => mapSet === bound.mapSet);
  if (!engine) return [];
  const held: HeldValue = { subject, configuration: engine.configuration, fault: bound.fault };
  const own = limitsOf(bound.id)
    .filter(({ side }) => (side === 'most') === (bound.side === 'high'))
    .flatMap((limit) => limit.find(held) ?? []);
  // What a sensor reads under a fault is another matter.
  return bound.fault === undefined ? [...own, ...coverageOf(engine, subject, bound)] : own;
}

/** Holds a bound against each of its limits; one without a limit has no verdict. */
export function judgements(bound: Bound, subject: EngineSubject): readonly JudgedBound[] {
  const limits = limitsOfBound(bound, subject);
  return limits.length > 0
    ? limits.map((limit) => ({ ...bound, limit, verdict: verdictOf(bound, limit) }))
    : [{ ...bound, limit: undefined, verdict: undefined }];
}

/** Holds a bound against the first of its limits. */
export const judged = (bound: Bound, subject: EngineSubject): JudgedBound => judgements(bound, subject)[0]!;

function verdictOf({ side, bound, reached }: Bound, { value }: LimitValue): Verdict {
  const sign = side === 'high' ? 1 : -1;
  if (!isDecided(sign * value, sign * bound, sign * reached)) return 'open';
  return exceeds(sign * reached, sign * value) ? 'broken' : 'holds';
}
