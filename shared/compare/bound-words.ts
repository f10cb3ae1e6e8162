import { groupedBy } from '../grouped-by.ts';
import type { LimitedBound } from '../limits/verdict.ts';
import { BOUND_DIGITS, boundText } from '../proof/witness.ts';
import { situationsText, witnessText } from '../proof/words.ts';
import { formatQuantity } from '../quantity/index.ts';
import type { BoundConsequence } from './bounds.ts';
import { isFurtherBroken, isNewlyBroken, isWorseBeyond } from './consequence-order.ts';
import { relativeStepText, stepPair, stepText, stepUnit } from './step.ts';
import { usedText } from './words.ts';

/** A bound that moved, as every face shows it. */
export interface BoundRow {
  /** `Injector duty, upper bound` */
  readonly label: string;
  /** Map set and fault. */
  readonly place: string;
  readonly was: string;
  readonly is: string;
  /** `+2.1 points` */
  readonly moved: string;
  /** Margin, limit and verdict: `margin 14.0 → 11.9 points, at most 85 % (maximum duty)` */
  readonly sentence: string;
  /** Whether the limit is newly or further broken, and the file does not accept that. */
  readonly isBroken: boolean;
}

/** Bounds of one value and side. */
export interface BoundGroup {
  readonly label: string;
  /** The limit that all of them have; empty if they have different ones. */
  readonly limit: string;
  readonly rows: readonly BoundRow[];
}

/**
 * The bounds by value and side. A fault that changes nothing has the same bound as the engine without it; both are one
 * row.
 */
export function boundGroups(bounds: readonly BoundConsequence[]): BoundGroup[] {
  const rows = bounds.map((bound) => ({ bound, row: boundRow(bound) }));
  return [...groupedBy(rows, ({ row }) => row.label)].map(([label, some]) => {
    const limits = new Set(some.map(({ bound }) => limitText(bound)));
    const limit = limits.size === 1 ? [...limits][0]! : '';
    const alike = groupedBy(some, ({ bound: { was, is }, row }) =>
      JSON.stringify([(is ?? was)!.mapSet, row.was, row.is, row.sentence]),
    );
    const merged = [...alike.values()].map((same) => {
      const place = situationsText(same.map(({ bound: { was, is } }) => (is ?? was)!));
      return { ...boundRow(same[0]!.bound, limit), place };
    });
    return { label, limit, rows: merged };
  });
}

/** The sentence omits the limit if it is the `known` one. */
export function boundRow(consequence: BoundConsequence, known = ''): BoundRow {
  const { was, is, step } = consequence;
  const one = (is ?? was)!;
  const limit = limitText(consequence);
  return {
    label: `${one.label}, ${one.side === 'high' ? 'upper' : 'lower'} bound`,
    place: situationsText([one]),
    was: numberText(was),
    is: numberText(is),
    moved: relativeStepText(step),
    sentence: [marginText(consequence), limit === known ? '' : limit, verdictText(consequence)]
      .filter(Boolean)
      .join(', '),
    isBroken: isWorseBeyond(consequence),
  };
}

/** The bound; if the search ended early, also the highest or lowest value that it found. */
function numberText(bound: LimitedBound | undefined): string {
  if (!bound) return 'none';
  const reached = formatQuantity(bound.reached, bound.show, BOUND_DIGITS);
  return boundText(bound) + (bound.isClosed ? '' : ` (reached ${reached})`);
}

function marginText({ was, is, limit }: BoundConsequence): string {
  if (limit.is === undefined) return '';
  const unit = stepUnit((is ?? was)!.show);
  return limit.was === undefined
    ? `margin ${stepText(limit.is, unit).replace('+', '')}`
    : `margin ${stepPair(limit.was, limit.is, unit)}${usedText(limit.was, limit.is)}`;
}

function limitText({ was, is, limit }: BoundConsequence): string {
  return `at ${limit.side} ${formatQuantity(limit.canonical, (is ?? was)!.show)} (${limit.label})`;
}

function brokenWords(consequence: BoundConsequence): string {
  if (isNewlyBroken(consequence)) return 'now broken';
  return isFurtherBroken(consequence) ? 'further broken' : 'still broken';
}

/** How the verdict changed; empty if the limit holds as before. */
function verdictText(consequence: BoundConsequence): string {
  const { was, is, limit } = consequence;
  if (!is) return 'no longer bounded, or without this limit';
  const before = was?.verdict;
  if (is.verdict === 'broken')
    return `${brokenWords(consequence)}${limit.accepted === undefined ? '' : ', accepted,'} at ${witnessText(is)}`;
  if (is.verdict === 'open') return before === 'open' ? 'still open' : 'now open: neither proved nor refuted';
  return before === undefined || before === 'holds' ? '' : 'now holds in every state';
}
