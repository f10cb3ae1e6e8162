import type { EngineSubject } from '../checks/check.ts';
import type { SectionName } from '../configuration/sections.ts';
import { type Bound, type Verdict, verdictOf } from '../proof/bound.ts';
import type { Proof } from '../proof/proof.ts';
import type { Pause } from '../proof/search.ts';
import { type Limit, type LimitValue, limitsOf, marginTo } from './limits.ts';

export type { Verdict };

/** A limit that the installation has. */
export interface FoundLimit extends LimitValue {
  readonly kind: Limit;
}

/** A bound with its limit, if it has one. */
export interface JudgedBound extends Bound {
  readonly limit: FoundLimit | undefined;
  readonly verdict: Verdict | undefined;
}

/** A bound with a limit. */
export interface LimitedBound extends JudgedBound {
  readonly limit: FoundLimit;
  readonly verdict: Verdict;
}

/** What identifies a bound. */
type Names = Pick<Bound, 'id' | 'side' | 'mapSet' | 'fault'>;

/** The sections that bounds and their limits depend on. */
export const READ_BY_BOUNDS: ReadonlySet<SectionName> = new Set([
  'engine',
  'intake',
  'boost',
  'fuel',
  'ignition',
  'sensors',
  'closed_loop',
  'protection',
  'harness',
  'map_sets',
  'operating_points',
  'envelope',
  'checks',
] as const);

/** Holds a bound against the limit of its value. */
export function judged(bound: Bound, subject: EngineSubject): JudgedBound {
  const limit = limitFor(bound, subject);
  return limit ? heldAgainst(limit, bound) : { ...bound, limit: undefined, verdict: undefined };
}

/** The bounds that have a limit; no others are searched. */
export function* limitedBounds(proof: Proof, subject: EngineSubject): Generator<LimitedBound> {
  for (const bound of limitedBoundsInSteps(proof, subject)) if (bound) yield bound;
}

/** The same, with the pauses of the searches. */
export function* limitedBoundsInSteps(proof: Proof, subject: EngineSubject): Generator<LimitedBound | Pause> {
  for (const situation of proof.situations) {
    yield;
    for (const id of situation.ids)
      for (const side of ['high', 'low'] as const) {
        const { mapSet, fault } = situation;
        const limit = limitFor({ id, side, mapSet, fault }, subject);
        const bound = limit && (yield* situation.search(id, side));
        if (!bound) continue;
        const held = heldAgainst(limit, bound);
        const finer = held.verdict === 'open' ? yield* situation.search(id, side, limit.value) : undefined;
        yield finer ? heldAgainst(limit, finer) : held;
      }
  }
}

/**
 * The margin between a bound and its limit: of the bound where the limit holds, of the value reached where it is
 * broken, negative. Undefined if the verdict is open.
 */
export function boundMargin({ limit, verdict, bound, reached }: LimitedBound): number | undefined {
  if (verdict === 'open') return undefined;
  return marginTo(limit.kind, limit.value, verdict === 'holds' ? bound : reached);
}

function limitFor({ id, side, mapSet, fault }: Names, subject: EngineSubject): FoundLimit | undefined {
  const engine = subject.installation.selectable.find((one) => one.mapSet === mapSet);
  const kind = limitsOf(id).find((one) => (one.side === 'most') === (side === 'high'));
  const found = engine && kind?.find({ subject, configuration: engine.configuration, fault });
  return kind && found && { ...found, kind };
}

const heldAgainst = (limit: FoundLimit, bound: Bound): LimitedBound => ({
  ...bound,
  limit,
  verdict: verdictOf(bound, limit.value),
});
