import type { EngineSubject } from '../checks/check.ts';
import { furtherTargetsOf } from '../checks/run.ts';
import type { SectionName } from '../configuration/sections.ts';
import { type Bound, type Verdict, verdictOf } from '../proof/bound.ts';
import type { ProofOptions } from '../proof/end-search.ts';
import { optionsWith, Proof, USUAL } from '../proof/proof.ts';
import type { Pause } from '../proof/search.ts';
import { coverageOf } from './coverage.ts';
import { type Limit, type LimitValue, limitsOf, marginTo } from './limits.ts';

export type { Verdict };

/** A limit that the installation has. */
export interface FoundLimit extends LimitValue {
  readonly kind: Limit;
}

/** The label of limits that follow from what a sensor reads or a table covers. A bound may have several. */
export const COVERED = 'end of the sensor or table range';

/** A bound with a limit, if it has one. */
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
  'gearbox',
  'propeller',
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
  'standby',
] as const);

/** All bounds of an installation, those that its checks search among them. */
export const fullProofOf = (subject: EngineSubject, options: ProofOptions = USUAL): Proof =>
  new Proof(subject.derivation, optionsWith(furtherTargetsOf(subject), options));

/** Compares a bound with each of its limits; a bound without a limit has no verdict. */
export function judgements(bound: Bound, subject: EngineSubject): readonly JudgedBound[] {
  const limits = limitsFor(bound, subject);
  return limits.length > 0
    ? limits.map((limit) => heldAgainst(limit, bound))
    : [{ ...bound, limit: undefined, verdict: undefined }];
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
        const limits = limitsFor({ id, side, mapSet, fault }, subject);
        const bound = limits.length > 0 ? yield* situation.search(id, side) : undefined;
        if (!bound) continue;
        for (const limit of limits) {
          const held = heldAgainst(limit, bound);
          const finer = held.verdict === 'open' ? yield* situation.search(id, side, limit.value) : undefined;
          yield finer ? heldAgainst(limit, finer) : held;
        }
      }
  }
}

/**
 * The margin between a bound and its limit: measured from the bound if the limit holds and, if it is broken, from the
 * value reached; then it is negative. Undefined if the verdict is open.
 */
export function boundMargin({ limit, verdict, bound, reached }: LimitedBound): number | undefined {
  if (verdict === 'open') return undefined;
  return marginTo(limit.kind, limit.value, verdict === 'holds' ? bound : reached);
}

/** Every limit that a bound is compared with, the limit of the value itself first. */
function limitsFor({ id, side, mapSet, fault }: Names, subject: EngineSubject): readonly FoundLimit[] {
  const engine = subject.installation.selectable.find((one) => one.mapSet === mapSet);
  if (!engine) return [];
  const end = side === 'high' ? 'most' : 'least';
  const own = limitsOf(id)
    .filter((kind) => kind.side === end)
    .flatMap((kind): FoundLimit[] => {
      const found = kind.find({ subject, configuration: engine.configuration, fault });
      return found ? [{ ...found, kind }] : [];
    });
  // Whether sensors and tables cover a value is checked only without a fault.
  if (fault !== undefined) return own;
  const covered = coverageOf(engine, subject, { id, side }).map(({ value, at, check }): FoundLimit => {
    const kind = { label: COVERED, side: end, checks: [check.id], find: () => undefined } as const;
    return { value, at, kind };
  });
  return [...own, ...covered];
}

const heldAgainst = (limit: FoundLimit, bound: Bound): LimitedBound => ({
  ...bound,
  limit,
  verdict: verdictOf(bound, limit.value),
});
