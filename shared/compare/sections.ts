import { cappedBy, standingFor } from '../checks/capped.ts';
import { foldsOf } from '../checks/folded.ts';
import { groupedBy } from '../grouped-by.ts';
import { changeArea } from './areas.ts';
import type { Change } from './change.ts';
import type { Comparison } from './comparison.ts';
import type { Consequence } from './consequence.ts';
import { isNear } from './consequence-order.ts';
import type { FindingConsequence } from './findings.ts';
import type { ValueConsequence } from './values.ts';

/** What a comparison says, in the parts in which people read it; each keeps its order. */
export interface Sections {
  /** Capped, see `capped`. */
  readonly findings: readonly FindingConsequence[];
  /** Values whose limit came closer, or that can't be told any more: to be read one by one. */
  readonly near: readonly ValueConsequence[];
  /** The other values that moved. */
  readonly others: readonly ValueConsequence[];
  /** The changes of each part of the installation, by its title. */
  readonly areas: ReadonlyMap<string, readonly Change[]>;
}

export function sectionsOf({ changes, consequences }: Comparison): Sections {
  const values = consequences.filter((one) => one.type === 'value');
  return {
    findings: cappedConsequences(consequences).filter((one) => one.type === 'finding'),
    near: values.filter(isNear),
    others: values.filter((value) => !isNear(value)),
    areas: groupedBy(changes, changeArea),
  };
}

/** Consequences as every face lists them: findings that changed alike are folded and capped as those of a file are. */
export function cappedConsequences(consequences: readonly Consequence[]): readonly Consequence[] {
  return cappedBy<Consequence>(
    foldedConsequences(consequences),
    (one) => (one.type === 'finding' ? `${one.was} ${one.is} ${one.rule} ${one.severity}` : undefined),
    (first, leftOut) =>
      first.type === 'finding' ? { ...first, finding: standingFor(first.finding, leftOut) } : first,
  );
}

function foldedConsequences(consequences: readonly Consequence[]): readonly Consequence[] {
  const findings = consequences.filter((one) => one.type === 'finding');
  const alike = groupedBy(findings, ({ was, is, severityWas }) => `${was} ${is} ${severityWas}`);
  const folds = new Map(
    [...alike.values()].flatMap((some) => [...foldsOf(some.map(({ finding }) => finding))]),
  );
  return consequences.flatMap((one) => {
    if (one.type !== 'finding' || !folds.has(one.finding)) return one;
    const finding = folds.get(one.finding);
    return finding ? { ...one, finding } : [];
  });
}
