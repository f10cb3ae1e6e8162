import type { Analysis } from '../analysis.ts';
import type { EngineSubject } from '../checks/check.ts';
import { sameNumber } from '../configuration/same-value.ts';
import {
  boundMargin,
  COVERED,
  fullProofOf,
  type LimitedBound,
  limitedBounds,
  READ_BY_BOUNDS,
} from '../limits/verdict.ts';
import type { Bound } from '../proof/bound.ts';
import { BRIEF } from '../proof/proof.ts';
import { boundText } from '../proof/witness.ts';
import { canChange } from './can-change.ts';
import type { Change, Step } from './change.ts';
import type { LimitMargin } from './limit-margin.ts';
import type { PathMap } from './renames.ts';
import { withReason } from './settled.ts';
import { stepBetween } from './step.ts';

/** A bound with a limit that moved, or whose limit or verdict changed. */
export interface BoundConsequence {
  readonly type: 'bound';
  /** Undefined if the value or its limit did not exist. */
  readonly was: LimitedBound | undefined;
  /** Undefined if the value can no longer be bounded, or has no limit any more. */
  readonly is: LimitedBound | undefined;
  readonly step: Step | undefined;
  readonly limit: LimitMargin;
}

/** Whether the changes between two states of an engine file, or in its controller files, can move a bound. */
export const canMoveBounds = (was: Analysis, is: Analysis, changes: readonly Change[]): boolean =>
  canChange(was, is, changes, READ_BY_BOUNDS);

/**
 * The bounds that moved. The extreme value lies between the bound and the value reached, so a bound has moved if these
 * ranges of the two states have nothing in common.
 */
export function boundConsequences(was: Analysis, is: Analysis, mapped: PathMap): BoundConsequence[] {
  const [old, now] = [boundsOf(was, (bound) => keyOf(bound, mapped)), boundsOf(is, (bound) => keyOf(bound))];
  const situations = new Set([...now.values()].map((bound) => situationOf(bound)));
  return [...new Set([...now.keys(), ...old.keys()])].flatMap((key) => {
    const [before, after] = [old.get(key), now.get(key)];
    // The bounds of an added or removed map set or sensor belong to the change that adds or removes it, unless a limit is
    // broken or open.
    if (!before && after!.verdict === 'holds') return [];
    if (!after && now.size > 0 && !situations.has(situationOf(before!, mapped))) return [];
    return hasChanged(before, after) ? [consequence(before, after, is)] : [];
  });
}

function boundsOf(analysis: Analysis, key: (bound: LimitedBound) => string): Map<string, LimitedBound> {
  const subject = analysis.subject as EngineSubject;
  const proof = fullProofOf(subject, BRIEF);
  return new Map(Array.from(limitedBounds(proof, subject), (bound) => [key(bound), bound]));
}

const unmapped: PathMap = (path) => path;

function keyOf(bound: LimitedBound, mapped = unmapped): string {
  const { kind, at } = bound.limit;
  const covered = kind.label === COVERED ? mapped(at) : '';
  return `${bound.id} ${bound.side} ${situationOf(bound, mapped)} ${kind.label} ${covered}`;
}

/** The paths of the map set and of what has failed. */
function situationOf({ mapSet, fault }: Bound, mapped = unmapped): string {
  const set = mapSet === undefined ? '' : mapped(`map_sets.sets.${mapSet}`);
  return `${set} ${fault === undefined ? '' : mapped(fault)}`;
}

function hasChanged(was: LimitedBound | undefined, is: LimitedBound | undefined): boolean {
  if (!was || !is || was.verdict !== is.verdict) return true;
  return !sameNumber(was.limit.value, is.limit.value) || haveMoved(was, is);
}

/** Whether a bound has certainly moved, by enough to show. */
function haveMoved(was: LimitedBound, is: LimitedBound): boolean {
  const [a, b] = [was, is].map(({ bound, reached }) => [Math.min(bound, reached), Math.max(bound, reached)]);
  const areApart = a![1]! < b![0]! || b![1]! < a![0]!;
  return areApart && boundText(was) !== boundText(is);
}

function consequence(
  was: LimitedBound | undefined,
  is: LimitedBound | undefined,
  analysis: Analysis,
): BoundConsequence {
  const { limit, show } = (is ?? was)!;
  return {
    type: 'bound',
    was,
    is,
    step: was && is && haveMoved(was, is) ? stepBetween(was.bound, is.bound, show) : undefined,
    limit: withReason(analysis, {
      label: limit.kind.label,
      side: limit.kind.side,
      checks: limit.kind.checks,
      canonical: limit.value,
      at: limit.at,
      was: was && boundMargin(was),
      is: is && boundMargin(is),
      place: (is ?? was)!.fault ?? limit.at,
    }),
  };
}
