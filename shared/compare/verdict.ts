import { listed } from '../checks/words.ts';
import { counted } from '../counted.ts';
import type { Comparison } from './comparison.ts';
import { isNewlyBroken, passed } from './consequence-order.ts';
import { gravity, isNewFinding } from './findings.ts';
import { foldedConsequences } from './sections.ts';

/** The overall result of a comparison. */
export type Verdict = 'nothing' | 'harmless' | 'look' | 'stop';

/** Counts of a comparison; the tallies of several files add up. */
export interface Tally {
  readonly changes: number;
  readonly newErrors: number;
  readonly newWarnings: number;
  /** Derived values that passed their limit. */
  readonly beyond: number;
  /** Bounds that passed their limit. */
  readonly broken: number;
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
}

export function tallyOf({ changes, consequences, boundsLeftOut }: Comparison): Tally {
  const findings = foldedConsequences(consequences).filter((one) => one.type === 'finding');
  const values = consequences.filter((one) => one.type === 'value');
  const bounds = consequences.filter((one) => one.type === 'bound');
  const fresh = findings.filter(isNewFinding);
  return {
    changes: changes.length,
    newErrors: fresh.filter(({ severity }) => severity === 'error').length,
    newWarnings: fresh.filter(({ severity }) => severity === 'warning').length,
    beyond: values.filter(({ limit }) => limit !== undefined && passed(limit)).length,
    broken: bounds.filter(isNewlyBroken).length,
    boundsMoved: bounds.length,
    faultsWorse: consequences.filter((one) => one.type === 'fault').length,
    boundsLeftOut: boundsLeftOut ? 1 : 0,
    moved: values.length,
    gone: findings.filter((one) => one.is === 'none' && gravity(one.severity) >= gravity('warning')).length,
    accepted: findings.filter((one) => one.is === 'accepted').length,
    consequences: consequences.length,
  };
}

const NOTHING = tallyOf({ changes: [], consequences: [] });

export function sumOf(tallies: readonly Tally[]): Tally {
  const sum = { ...NOTHING };
  for (const tally of tallies) for (const key of Object.keys(sum) as (keyof Tally)[]) sum[key] += tally[key];
  return sum;
}

/**
 * `stop`: a new error; `look`: a new warning, a value or bound that passed its limit, or a single fault made worse; `harmless`: neither.
 */
export function verdictOf(tally: Tally): Verdict {
  const { changes, consequences, newErrors, newWarnings, beyond, broken, faultsWorse } = tally;
  if (changes + consequences === 0) return 'nothing';
  if (newErrors > 0) return 'stop';
  return newWarnings + beyond + broken + faultsWorse > 0 ? 'look' : 'harmless';
}

/** The verdict in a sentence: new findings, values beyond their limits, and the number of changes. */
export function verdictText(tally: Tally): string {
  if (verdictOf(tally) === 'nothing') return 'Nothing changed in the engine.';
  return `${verdictParts(tally).join('; ')}.`;
}

/** The two halves of that sentence: what a reviewer must know, and how much there is to read. */
export function verdictParts(tally: Tally): [found: string, rest: string] {
  const { changes, newErrors, newWarnings, beyond, broken, moved, gone, accepted } = tally;
  const { boundsMoved, boundsLeftOut, faultsWorse } = tally;
  const parts = [
    ...(newErrors > 0 ? [counted(newErrors, 'new error')] : []),
    ...(newWarnings > 0 ? [counted(newWarnings, 'new warning')] : []),
    ...(beyond > 0 ? [beyondText(beyond, 'value')] : []),
    ...(broken > 0 ? [beyondText(broken, 'bound')] : []),
    ...(faultsWorse > 0 ? [`${counted(faultsWorse, 'single fault')} made worse`] : []),
  ];
  const rest = [
    counted(changes, 'change'),
    ...(moved > 0 ? [`${counted(moved, 'derived value')} changed`] : []),
    ...(boundsMoved > 0 ? [`${counted(boundsMoved, 'bound')} moved`] : []),
    ...(boundsLeftOut > 0 ? [leftOutText(boundsLeftOut)] : []),
    ...(gone > 0 ? [`${counted(gone, 'finding')} no longer reported`] : []),
    ...(accepted > 0 ? [`${counted(accepted, 'finding')} newly accepted`] : []),
  ];
  return [parts.length > 0 ? capital(listed(parts)) : 'No new errors or warnings', listed(rest)];
}

const beyondText = (count: number, what: string): string =>
  `${counted(count, what)} beyond ${count === 1 ? 'its limit' : 'their limits'}`;

const leftOutText = (files: number): string =>
  files === 1
    ? 'bounds not compared for lack of time'
    : `bounds of ${files} files not compared for lack of time`;

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
