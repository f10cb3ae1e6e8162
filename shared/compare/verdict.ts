import { capital } from '../capital.ts';
import { listed } from '../checks/words.ts';
import { counted } from '../counted.ts';
import type { BoundConsequence } from './bounds.ts';
import type { Comparison } from './comparison.ts';
import { beyondSeverity, isNewlyBroken } from './consequence-order.ts';
import { gravity, isNewFinding } from './findings.ts';
import { passed } from './limit-margin.ts';
import { foldedConsequences } from './sections.ts';
import type { ValueConsequence } from './values.ts';

/** The overall result of a comparison. */
export type Verdict = 'nothing' | 'harmless' | 'look' | 'stop';

/** Counts of a comparison; the tallies of several files add up. */
export interface Tally {
  readonly changes: number;
  readonly newErrors: number;
  readonly newWarnings: number;
  /** Derived values that are newly beyond their limit, unless the file accepts that. */
  readonly beyond: number;
  /** The same for bounds. */
  readonly broken: number;
  /** Derived values and bounds that were beyond their limit and are further beyond it. */
  readonly further: number;
  /** Bounds that are newly beyond their limit with a part failed. */
  readonly underFault: number;
  readonly boundsMoved: number;
  /** Single faults that became worse. */
  readonly faultsWorse: number;
  /** Files whose bounds were not compared. */
  readonly boundsLeftOut: number;
  readonly moved: number;
  /** Errors and warnings. */
  readonly gone: number;
  readonly accepted: number;
  readonly consequences: number;
  /** Changes and consequences that are counted with a base file. */
  readonly inherited: number;
}

export function tallyOf({ changes, consequences, boundsLeftOut }: Comparison, inherited = 0): Tally {
  const findings = foldedConsequences(consequences).filter((one) => one.type === 'finding');
  const values = consequences.filter((one) => one.type === 'value');
  const bounds = consequences.filter((one) => one.type === 'bound');
  const fresh = findings.filter(isNewFinding);
  const isStopped = (one: ValueConsequence | BoundConsequence) => beyondSeverity(one) === 'error';
  const [worseValues, worseBounds] = [values.filter(isStopped), bounds.filter(isStopped)];
  const isNew = ({ limit }: ValueConsequence) => limit !== undefined && passed(limit);
  return {
    changes: changes.length,
    newErrors: fresh.filter(({ severity }) => severity === 'error').length,
    newWarnings: fresh.filter(({ severity }) => severity === 'warning').length,
    beyond: worseValues.filter(isNew).length,
    broken: worseBounds.filter(isNewlyBroken).length,
    further:
      worseValues.filter((one) => !isNew(one)).length +
      worseBounds.filter((one) => !isNewlyBroken(one)).length,
    underFault: bounds.filter((one) => beyondSeverity(one) === 'warning').length,
    boundsMoved: bounds.length,
    faultsWorse: consequences.filter((one) => one.type === 'fault').length,
    boundsLeftOut: boundsLeftOut ? 1 : 0,
    moved: values.filter(({ isConditional }) => !isConditional).length,
    gone: findings.filter((one) => one.is === 'none' && gravity(one.severity) >= gravity('warning')).length,
    accepted: findings.filter((one) => one.is === 'accepted').length,
    consequences: consequences.length,
    inherited,
  };
}

const NOTHING = tallyOf({ changes: [], consequences: [] });

export function sumOf(tallies: readonly Tally[]): Tally {
  const sum = { ...NOTHING };
  for (const tally of tallies) for (const key of Object.keys(sum) as (keyof Tally)[]) sum[key] += tally[key];
  return sum;
}

/**
 * `stop`: a new error, or a value or bound that is newly or further beyond its limit; `look`: a new warning, such a bound
 * with a part failed, or a single fault made worse;
 * `harmless`: neither.
 */
export function verdictOf(tally: Tally): Verdict {
  const { changes, consequences, newErrors, newWarnings, beyond, broken, further, underFault, faultsWorse } =
    tally;
  if (changes + consequences === 0) return 'nothing';
  if (newErrors + beyond + broken + further > 0) return 'stop';
  return newWarnings + underFault + faultsWorse > 0 ? 'look' : 'harmless';
}

/** Tallied things, the worst first; those alike keep their order. */
export function worstFirst<Tallied extends { readonly tally: Tally }>(some: readonly Tallied[]): Tallied[] {
  const ranks = ['stop', 'look', 'harmless', 'nothing'];
  const weights = ({ tally }: Tallied) => [
    -ranks.indexOf(verdictOf(tally)),
    tally.newErrors,
    tally.beyond + tally.broken,
    tally.further,
    tally.newWarnings + tally.underFault + tally.faultsWorse,
  ];
  return [...some].sort((a, b) => {
    const [left, right] = [weights(a), weights(b)];
    const differing = left.findIndex((weight, i) => weight !== right[i]);
    return differing < 0 ? 0 : right[differing]! - left[differing]!;
  });
}

/** The verdict in a sentence: new findings, values beyond their limits, and the number of changes. */
export function verdictText(tally: Tally): string {
  if (verdictOf(tally) === 'nothing') {
    return tally.inherited > 0
      ? 'Nothing changed except as in base files.'
      : 'Nothing changed in the engine.';
  }
  return `${verdictParts(tally).filter(Boolean).join('; ')}.`;
}

/** The two halves of that sentence: what a reviewer must know, and how much there is to read. */
export function verdictParts(tally: Tally): [found: string, rest: string] {
  const { changes, newErrors, newWarnings, beyond, broken, further, moved, gone, accepted } = tally;
  const { boundsMoved, boundsLeftOut, underFault, faultsWorse } = tally;
  const parts = [
    ...(newErrors > 0 ? [counted(newErrors, 'new error')] : []),
    ...(newWarnings > 0 ? [counted(newWarnings, 'new warning')] : []),
    ...(beyond > 0 ? [beyondText(beyond, 'value')] : []),
    ...(broken > 0 ? [beyondText(broken, 'bound')] : []),
    ...(further > 0 ? [`${counted(further, 'value')} further beyond ${itsLimit(further)}`] : []),
    ...(underFault > 0
      ? [`${counted(underFault, 'bound')} under a single fault newly beyond ${itsLimit(underFault)}`]
      : []),
    ...(faultsWorse > 0 ? [`${counted(faultsWorse, 'single fault')} made worse`] : []),
  ];
  const rest = [
    ...(changes > 0 ? [counted(changes, 'change')] : []),
    ...(moved > 0 ? [`${counted(moved, 'derived value')} changed`] : []),
    ...(boundsMoved > 0 ? [`${counted(boundsMoved, 'bound')} moved`] : []),
    ...(boundsLeftOut > 0 ? [leftOutText(boundsLeftOut)] : []),
    ...(gone > 0 ? [`${counted(gone, 'finding')} no longer reported`] : []),
    ...(accepted > 0 ? [`${counted(accepted, 'finding')} newly accepted`] : []),
  ];
  return [parts.length > 0 ? capital(listed(parts)) : 'No new errors or warnings', listed(rest)];
}

const beyondText = (count: number, what: string): string =>
  `${counted(count, what)} newly beyond ${itsLimit(count)}`;

const itsLimit = (count: number): string => (count === 1 ? 'its limit' : 'their limits');

const leftOutText = (files: number): string =>
  files === 1
    ? 'bounds not compared for lack of time'
    : `bounds of ${files} files not compared for lack of time`;
