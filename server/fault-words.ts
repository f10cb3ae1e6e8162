import type { FaultSeverity } from '../shared/faults/severity.ts';
import type { FaultRow, PlacedEffect } from '../shared/faults/table.ts';
import { FAULT_KINDS, FAULT_SEVERITIES } from '../shared/faults/words.ts';
import { groupedBy } from '../shared/grouped-by.ts';
import type { LimitedBound, Verdict } from '../shared/limits/verdict.ts';
import { columnInUnit } from '../shared/quantity/index.ts';
import { boundLines } from './bound-words.ts';

/** Faults of one thing with the same consequences, as one row for people. */
export interface FaultLine extends FaultRow {
  /** `open circuit or shorted to supply` */
  readonly how: string;
}

/** Everything that a line shows besides how the thing fails. */
const contentOf = (row: FaultRow): string =>
  [
    row.of,
    row.severity,
    ...row.reasons,
    ...effectTexts(row),
    ...boundTexts(row),
    ...row.lost,
    ...row.toldBy,
  ].join('\n');

const faultLines = (rows: readonly FaultRow[]): FaultLine[] =>
  [...groupedBy(rows, contentOf).values()].map((alike) => ({
    ...alike[0]!,
    how: alike.map(({ fault }) => FAULT_KINDS[fault]).join(' or '),
  }));

/** The rows by severity, the worst first; rows of one severity keep their order. */
export const bySeverity = (rows: readonly FaultRow[]): [FaultSeverity, readonly FaultLine[]][] => {
  const groups = groupedBy(rows, ({ severity }) => severity);
  return FAULT_SEVERITIES.flatMap((severity) => {
    const own = groups.get(severity);
    return own ? [[severity, faultLines(own)] as [FaultSeverity, FaultLine[]]] : [];
  });
};

/** `3 stops, 12 degrades, 4 hidden` */
export const severityCounts = (rows: readonly FaultRow[]): string =>
  FAULT_SEVERITIES.flatMap((severity) => {
    const count = rows.filter((row) => row.severity === severity).length;
    return count > 0 ? `${count} ${severity}` : [];
  }).join(', ');

/**
 * `Lambda: take_off 0.82 → 0.95, cruise 0.90 → 1.02`: each value that changes, at every operating point where it does. Nothing
 * for an engine that stops, as its reason says all.
 */
export function effectTexts({ effects }: FaultRow): string[] {
  if (effects.some(({ id, value }) => id === 'cylinders_firing' && value.canonical === 0)) return [];
  return [...groupedBy(effects, ({ value }) => value.label)].map(([label, alike]) => {
    const { show } = alike[0]!.value;
    const number = columnInUnit(
      alike.flatMap(({ normal, value }) => numbersOf(normal, value)),
      show,
    );
    const unit = show === '' ? '' : ` ${show}`;
    const changes = alike.map(({ point, normal, value }) => {
      const before = normal ? `${number(normal.canonical)} → ` : '';
      return { point, text: `${before}${number(value.canonical)}${unit}` };
    });
    const [first] = changes;
    const isCommon = changes.length > 1 && changes.every(({ text }) => text === first!.text);
    const texts = changes.map(({ point, text }) => `${point} ${text}`);
    return `${label}: ${isCommon ? first!.text : texts.join(', ')}`;
  });
}

/**
 * `Injector duty, highest: ≤ 71.3 %, limit 85 % (maximum duty) holds; map set climb`: the bounds that have a limit, over all states
 * of the envelope.
 */
export function boundTexts({ bounds = [] }: FaultRow): string[] {
  const limited = bounds.filter((one): one is LimitedBound => one.limit !== undefined);
  return boundLines(limited).map(({ label, bound, limit, verdict, of: { mapSet } }) => {
    const set = mapSet === undefined ? '' : `; map set ${mapSet}`;
    return `${label}: ${bound}, limit ${limit} ${VERDICT_WORDS[verdict]}${set}`;
  });
}

const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  holds: 'holds in every state',
  broken: 'is broken',
  open: 'is open',
};

const numbersOf = (normal: PlacedEffect['normal'], value: PlacedEffect['value']): number[] => [
  ...(normal ? [normal.canonical] : []),
  value.canonical,
];

/** The lights and signals that show a fault. */
export const shownText = ({ toldBy }: FaultRow): string =>
  toldBy.length > 0 ? toldBy.join(', ') : 'not shown';

export const lostText = ({ lost, losesAll }: FaultRow): string => (losesAll ? 'everything' : lost.join(', '));
