import type { FaultKind } from '../shared/derived/loss.ts';
import type { FaultSeverity } from '../shared/faults/severity.ts';
import { SEVERITIES } from '../shared/faults/severity.ts';
import type { FaultRow, PlacedEffect } from '../shared/faults/table.ts';
import { groupedBy } from '../shared/grouped-by.ts';
import { columnInUnit } from '../shared/quantity/index.ts';

const KINDS: Readonly<Record<FaultKind, string>> = {
  substitute: 'failed, substitute value used',
  low: 'reads the low end of its range',
  high: 'reads the high end of its range',
  open: 'open circuit',
  shorted_to_ground: 'shorted to ground',
  shorted_to_supply: 'shorted to supply',
  lost: 'lost',
};

/** Faults of one thing with the same consequences, as one row for people. */
export interface FaultLine extends FaultRow {
  /** `open circuit or shorted to supply` */
  readonly how: string;
}

/** Everything that a line shows besides how the thing fails. */
const contentOf = (row: FaultRow): string =>
  [row.of, row.severity, ...row.reasons, ...effectTexts(row), ...row.lost, ...row.toldBy].join('\n');

const faultLines = (rows: readonly FaultRow[]): FaultLine[] =>
  [...groupedBy(rows, contentOf).values()].map((alike) => ({
    ...alike[0]!,
    how: alike.map(({ fault }) => KINDS[fault]).join(' or '),
  }));

const ORDER = Object.keys(SEVERITIES) as FaultSeverity[];

/** The rows by severity, the worst first; rows of one severity keep their order. */
export const bySeverity = (rows: readonly FaultRow[]): [FaultSeverity, readonly FaultLine[]][] => {
  const groups = groupedBy(rows, ({ severity }) => severity);
  return ORDER.flatMap((severity) => {
    const own = groups.get(severity);
    return own ? [[severity, faultLines(own)] as [FaultSeverity, FaultLine[]]] : [];
  });
};

/** `3 stops, 12 degrades, 4 hidden` */
export const severityCounts = (rows: readonly FaultRow[]): string =>
  ORDER.flatMap((severity) => {
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

const numbersOf = (normal: PlacedEffect['normal'], value: PlacedEffect['value']): number[] => [
  ...(normal ? [normal.canonical] : []),
  value.canonical,
];

/** The lights and signals that show a fault. */
export const shownText = ({ toldBy }: FaultRow): string =>
  toldBy.length > 0 ? toldBy.join(', ') : 'not shown';

export const lostText = ({ lost, losesAll }: FaultRow): string => (losesAll ? 'everything' : lost.join(', '));
