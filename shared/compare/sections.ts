import { cappedBy, leftOutFinding } from '../checks/capped.ts';
import { foldsOf } from '../checks/folded.ts';
import { groupedBy } from '../grouped-by.ts';
import { changeArea } from './areas.ts';
import type { BoundConsequence } from './bounds.ts';
import type { Change } from './change.ts';
import type { Comparison } from './comparison.ts';
import type { Consequence } from './consequence.ts';
import { isNear, isNearBound } from './consequence-order.ts';
import { type WorseFault, worseFaults } from './fault-words.ts';
import type { FindingConsequence } from './findings.ts';
import type { ValueConsequence } from './values.ts';

/** A comparison, divided into the parts in which it is shown; each part keeps the order of the comparison. */
export interface Sections {
  /** Capped, see `capped`. */
  readonly findings: readonly FindingConsequence[];
  /** Values with a reduced margin, without the limit that they had, or that can no longer be derived: listed one by one. */
  readonly near: readonly ValueConsequence[];
  /** Values that hold only if a sensor was not replaced. */
  readonly conditional: readonly ValueConsequence[];
  /** The other changed values. */
  readonly others: readonly ValueConsequence[];
  /** Bounds with a reduced margin, or whose limit no longer holds. */
  readonly nearBounds: readonly BoundConsequence[];
  readonly otherBounds: readonly BoundConsequence[];
  /** The single faults made worse. */
  readonly faults: readonly WorseFault[];
  /** The changes of each part of the installation, by its title. */
  readonly areas: ReadonlyMap<string, readonly Change[]>;
}

export function sectionsOf({
  changes,
  consequences,
}: Pick<Comparison, 'changes' | 'consequences'>): Sections {
  const bounds = consequences.filter((one) => one.type === 'bound');
  const allValues = consequences.filter((one) => one.type === 'value');
  const values = allValues.filter(({ isConditional }) => !isConditional);
  return {
    findings: cappedConsequences(consequences).filter((one) => one.type === 'finding'),
    near: values.filter(isNear),
    conditional: allValues.filter(({ isConditional }) => isConditional),
    others: values.filter((value) => !isNear(value)),
    nearBounds: bounds.filter(isNearBound),
    otherBounds: bounds.filter((bound) => !isNearBound(bound)),
    faults: worseFaults(consequences.filter((one) => one.type === 'fault')),
    areas: groupedBy(changes, changeArea),
  };
}

/** Consequences as every face lists them: findings with the same standing are folded and capped, as in a file. */
export function cappedConsequences(consequences: readonly Consequence[]): readonly Consequence[] {
  return cappedBy<Consequence>(
    foldedConsequences(consequences),
    (one) => (one.type === 'finding' ? `${one.was} ${one.is} ${one.rule} ${one.severity}` : undefined),
    (first, leftOut) =>
      first.type === 'finding' ? { ...first, finding: leftOutFinding(first.finding, leftOut) } : first,
  );
}

/**
 * The consequences with each cause of new findings, and of resolved ones, reported once; accepted ones keep their
 * reasons.
 */
export function foldedConsequences(consequences: readonly Consequence[]): readonly Consequence[] {
  const findings = consequences.filter(
    (one) => one.type === 'finding' && one.is !== 'accepted',
  ) as FindingConsequence[];
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
