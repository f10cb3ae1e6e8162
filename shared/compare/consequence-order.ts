import type { Consequence } from './consequence.ts';
import { type FindingConsequence, gravity, isNewFinding } from './findings.ts';
import type { LimitMargin, ValueConsequence } from './values.ts';

/**
 * What may harm the engine first: new errors, values that passed a limit, new warnings, limits that came
 * closer, what is accepted now; then the other values by how far they moved, what got better, and what is
 * only worth knowing.
 */
export function orderConsequences(consequences: readonly Consequence[]): Consequence[] {
  return consequences
    .map((consequence) => ({ consequence, rank: rankOf(consequence), size: sizeOf(consequence) }))
    .sort((a, b) => a.rank - b.rank || b.size - a.size)
    .map(({ consequence }) => consequence);
}

function rankOf(consequence: Consequence): number {
  return consequence.type === 'finding' ? findingRank(consequence) : valueRank(consequence);
}

function findingRank(consequence: FindingConsequence): number {
  const { severity, is } = consequence;
  if (isNewFinding(consequence)) {
    if (severity === 'error') return 0;
    return severity === 'warning' ? 2 : 8;
  }
  if (is === 'accepted') return 4;
  return gravity(severity) >= gravity('warning') ? 7 : 9;
}

function valueRank({ limit, is }: ValueConsequence): number {
  if (!is) return 3;
  if (!limit) return 6;
  if (passed(limit)) return 1;
  return cameCloser(limit) ? 3 : 5;
}

/** Whether a value is beyond its limit now and was not. */
export function passed({ was, is }: LimitMargin): boolean {
  return is !== undefined && is < 0 && (was === undefined || was >= 0);
}

export function cameCloser({ was, is }: LimitMargin): boolean {
  return is !== undefined && (was === undefined || is < was);
}

/**
 * Whether a limit is nearer now, or a value can't be told any more: what a reader wants to see one by one.
 */
export function isNear({ limit, is }: ValueConsequence): boolean {
  return is === undefined || (limit !== undefined && cameCloser(limit));
}

/** How much of its room a value has used up, or how far it moved as a share of itself. */
function sizeOf(consequence: Consequence): number {
  if (consequence.type === 'finding') return gravity(consequence.severity);
  const { limit, step } = consequence;
  if (limit?.is !== undefined) return -limit.is / (Math.abs(limit.canonical) || 1);
  return Math.abs(step?.ratio ?? 0);
}
