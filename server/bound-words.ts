import { stepIn, stepText, stepUnit } from '../shared/compare/step.ts';
import { counted } from '../shared/counted.ts';
import { groupedBy } from '../shared/grouped-by.ts';
import { boundMargin, type JudgedBound, type LimitedBound, type Verdict } from '../shared/limits/verdict.ts';
import { BOUND_DIGITS } from '../shared/proof/witness.ts';
import { signedBound, situationsText, witnessText } from '../shared/proof/words.ts';
import { formatQuantity, splitUnit, toUnit } from '../shared/quantity/index.ts';

/** What is known of the bounds of a file. */
export interface Proved {
  readonly bounds: readonly LimitedBound[];
  /** Whether they are those of the current text, not of the text before the last edit. */
  readonly isCurrent: boolean;
}

/** Identifies a bound and its limit among those of a file. */
export const boundKey = ({
  id,
  side,
  mapSet,
  fault,
  limit,
}: Pick<LimitedBound, 'id' | 'side' | 'mapSet' | 'fault' | 'limit'>): string =>
  JSON.stringify([id, side, mapSet ?? null, fault ?? null, limit.at]);

/** The worst first. */
export const VERDICTS: readonly Verdict[] = ['broken', 'open', 'holds'];

/** What each verdict says, for readers who meet it for the first time. */
export const VERDICT_MEANINGS: Readonly<Record<Verdict, string>> = {
  holds: 'no state of the envelope is beyond the limit',
  broken: 'the named state is beyond the limit',
  open: 'the search neither proved the limit nor found a state beyond it',
};

/** `14 limits hold everywhere · 1 broken · 2 open` */
export function verdictCounts(bounds: readonly Pick<JudgedBound, 'verdict'>[]): string {
  const count = (verdict: Verdict) => bounds.filter((one) => one.verdict === verdict).length;
  const [holds, broken, open] = [count('holds'), count('broken'), count('open')];
  return [
    `${counted(holds, 'limit')} ${holds === 1 ? 'holds' : 'hold'} everywhere`,
    ...(broken > 0 ? [`${broken} broken`] : []),
    ...(open > 0 ? [`${open} open`] : []),
  ].join(' · ');
}

/** A bound with its limit, as tables and hovers show it. */
export interface BoundLine {
  /** `Injector duty, highest` */
  readonly label: string;
  /** `map set climb; also coolant_temperature failed` */
  readonly place: string;
  /** `≤ 71.3 %` */
  readonly bound: string;
  /** `70.9 %` */
  readonly reached: string;
  /** `85 % (maximum duty)` */
  readonly limit: string;
  /** `13.7 points`; `−1.2 points` beyond the limit; `unknown` while the verdict is open. */
  readonly margin: string;
  /** The margin as a share of the limit in the unit for readers, at most 1; undefined while the verdict is open. */
  readonly share: number | undefined;
  readonly verdict: Verdict;
  /** The state in which `reached` was found. */
  readonly witness: string;
  readonly of: LimitedBound;
}

/**
 * The bounds, the worst verdicts and smallest margins first. A fault that changes nothing has the same bound as the engine
 * without it; both are one line.
 */
export function boundLines(bounds: readonly LimitedBound[]): BoundLine[] {
  const alike = groupedBy(bounds, ({ id, side, mapSet, bound, reached, limit }) =>
    JSON.stringify([id, side, mapSet, bound, reached, limit.value]),
  );
  return [...alike.values()]
    .map(lineOf)
    .sort(
      (a, b) => VERDICTS.indexOf(a.verdict) - VERDICTS.indexOf(b.verdict) || (a.share ?? 0) - (b.share ?? 0),
    );
}

function lineOf(same: readonly LimitedBound[]): BoundLine {
  const [of] = same as readonly [LimitedBound];
  const { label, side, show, reached, limit, verdict } = of;
  const margin = boundMargin(of);
  const ends = side === 'high' ? 'highest' : 'lowest';
  return {
    label: `${label}, ${ends}`,
    place: situationsText(same),
    bound: signedBound(of),
    reached: formatQuantity(reached, show, BOUND_DIGITS),
    limit: `${formatQuantity(limit.value, show, BOUND_DIGITS)} (${limit.kind.label})`,
    margin: margin === undefined ? 'unknown' : stepText(margin, stepUnit(show)).replace('+', ''),
    share: margin === undefined ? undefined : shareOf(margin, limit.value, show),
    verdict,
    witness: witnessText(of),
    of,
  };
}

function shareOf(margin: number, limit: number, show: string): number {
  const unit = splitUnit(show)?.unit;
  const scale = unit ? Math.abs(toUnit(limit, unit)) : Math.abs(limit);
  return scale === 0
    ? Math.sign(margin)
    : Math.min(1, Math.abs(stepIn(margin, stepUnit(show))) / scale) * Math.sign(margin);
}
