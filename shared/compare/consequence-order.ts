import type { BoundConsequence } from './bounds.ts';
import type { Consequence } from './consequence.ts';
import { type FaultConsequence, isNewlySevere } from './faults.ts';
import { type FindingConsequence, gravity, isNewFinding } from './findings.ts';
import { isCloser, isFurtherBeyond, isLimitRemoved, passed } from './limit-margin.ts';
import type { ValueConsequence } from './values.ts';

/**
 * The most dangerous first: new errors, values and bounds that are newly or further beyond a limit, new warnings, reduced margins, newly accepted
 * findings and values that hold only if a sensor was not replaced; then the other values by the size of their change, findings no longer reported, and information.
 */
export function orderConsequences(consequences: readonly Consequence[]): Consequence[] {
  return consequences
    .map((consequence) => ({ consequence, rank: rankOf(consequence), size: sizeOf(consequence) }))
    .sort((a, b) => a.rank - b.rank || b.size - a.size)
    .map(({ consequence }) => consequence);
}

function rankOf(consequence: Consequence): number {
  if (consequence.type === 'finding') return findingRank(consequence);
  if (consequence.type === 'fault') return faultRank(consequence);
  return consequence.type === 'bound' ? boundRank(consequence) : valueRank(consequence);
}

const faultRank = (consequence: FaultConsequence): number => (isNewlySevere(consequence) ? 1 : 3);

function boundRank(consequence: BoundConsequence): number {
  const severity = beyondSeverity(consequence);
  if (severity !== undefined) return severity === 'error' ? 1 : 2;
  return isNearBound(consequence) ? 3 : 5;
}

/** Whether a state is beyond the limit now, and none was known before. */
export const isNewlyBroken = ({ was, is }: BoundConsequence): boolean =>
  is?.verdict === 'broken' && was?.verdict !== 'broken';

/** Whether a state was beyond the limit and one is further beyond it now. */
export const isFurtherBroken = ({ was, is, limit }: BoundConsequence): boolean =>
  is?.verdict === 'broken' && was?.verdict === 'broken' && isCloser(limit);

/** Whether a limit is broken or open that was not, the margin to it was reduced, or the bound is lost. */
export function isNearBound({ was, is, limit }: BoundConsequence): boolean {
  return !is || (is.verdict !== 'holds' && is.verdict !== was?.verdict) || isCloser(limit);
}

/**
 * The severity of a value or bound that is newly or further beyond its limit: an error; a warning if it is newly beyond it only
 * with a part failed. Undefined if it is not, or if the file accepts it.
 */
export function beyondSeverity(one: ValueConsequence | BoundConsequence): 'error' | 'warning' | undefined {
  const { limit } = one;
  if (!limit || limit.accepted !== undefined) return undefined;
  if (one.type === 'value') return passed(limit) || isFurtherBeyond(limit) ? 'error' : undefined;
  const isSound = one.is?.fault === undefined;
  if (isNewlyBroken(one)) return isSound ? 'error' : 'warning';
  return isSound && isFurtherBroken(one) ? 'error' : undefined;
}

export const isWorseBeyond = (one: ValueConsequence | BoundConsequence): boolean =>
  beyondSeverity(one) !== undefined;

function findingRank(consequence: FindingConsequence): number {
  const { severity, is } = consequence;
  if (isNewFinding(consequence)) {
    if (severity === 'error') return 0;
    return severity === 'warning' ? 2 : 8;
  }
  if (is === 'accepted') return 4;
  return gravity(severity) >= gravity('warning') ? 7 : 9;
}

function valueRank(consequence: ValueConsequence): number {
  const { limit, is } = consequence;
  if (!is) return 3;
  if (consequence.isConditional) return 4;
  if (!limit) return 6;
  if (isWorseBeyond(consequence)) return 1;
  return isNear(consequence) ? 3 : 5;
}

/** Whether the margin to a limit was reduced, the limit was removed or the value can no longer be derived; these are listed one by one. */
export function isNear({ limit, is }: ValueConsequence): boolean {
  return is === undefined || (limit !== undefined && (isLimitRemoved(limit) || isCloser(limit)));
}

/** The margin as a share of the limit, the smallest first, or the relative change. */
function sizeOf(consequence: Consequence): number {
  if (consequence.type === 'finding') return gravity(consequence.severity);
  if (consequence.type === 'fault') return 0;
  const { limit, step } = consequence;
  if (limit?.is !== undefined) return -limit.is / (Math.abs(limit.canonical) || 1);
  return Math.abs(step?.ratio ?? 0);
}
