import type { BoundRowView, InstallationView } from '../../../server/features/installation-view-types.ts';
import { html } from '../../map-panel/view/element.ts';
import type { Host } from './choices.ts';
import { nextOrder, type Sortable, sorted } from './order.ts';
import { type Head, type Row, sortedTable } from './sorted-table.ts';

const HEADS: readonly Head[] = [
  { key: 'label', label: 'Value', unit: '', className: 'words' },
  { key: 'situation', label: 'Map set and fault', unit: '', className: 'words' },
  { key: 'bound', label: 'Bound', unit: '' },
  { key: 'limit', label: 'Limit', unit: '', className: 'words' },
  { key: 'margin', label: 'Margin', unit: '' },
  { key: 'verdict', label: 'Verdict', unit: '', className: 'words' },
  { key: 'state', label: 'State', unit: '', className: 'words' },
];

/** A shape for each verdict, so that colour is not the only sign of it. */
const SHAPES: Readonly<Record<BoundRowView['verdict'], string>> = { holds: '✓', broken: '✕', open: '?' };

/** The worst verdict first when sorted by it. */
const RANKS: Readonly<Record<BoundRowView['verdict'], number>> = { broken: 0, open: 1, holds: 2 };

const HINT = 'Select a row for the derivation in its state, or a limit to go to it in the text.';

/** Each limit with the bound over all states of the envelope, and the margin between them as a bar. */
export function boundsPage({ bounds }: InstallationView, host: Host): HTMLElement[] {
  const { status, summary, rows } = bounds;
  const old = status === 'outdated' ? ' These are the bounds before the last edit.' : '';
  return [
    html('p', { class: 'note', role: 'status' }, `${summary}${old}`),
    ...(rows.length > 0
      ? [
          html('p', { class: 'note' }, HINT),
          html('div', { class: 'scroll bounds-table' }, boundsTable(rows, host)),
        ]
      : []),
  ];
}

function boundsTable(rows: readonly BoundRowView[], host: Host): HTMLElement {
  const { boundOrder } = host.choices;
  const lines = sorted(rows, boundOrder, sortableOf).map((row) => lineOf(row, host));
  return sortedTable('Bounds and their limits', HEADS, lines, boundOrder, (key) =>
    host.choose({ boundOrder: nextOrder(boundOrder, key) }),
  );
}

function sortableOf(row: BoundRowView, key: string): Sortable {
  if (key === 'margin') return row.share;
  if (key === 'verdict') return RANKS[row.verdict];
  return row[key as 'label' | 'situation' | 'bound' | 'limit' | 'state'];
}

function lineOf(row: BoundRowView, host: Host): Row {
  const { value, label, situation, bound, limit, margin, share, verdict, meaning, state, place } = row;
  const explain = () => host.explain({ value, through: [] });
  const words = (text: string) => ({ text, words: text, className: 'words', open: explain });
  const isSelected = host.choices.asked?.value === value;
  return {
    key: value,
    cells: [
      { ...words(label), words: `${label}, ${situation}` },
      words(situation),
      { text: bound, words: `Bound ${bound}`, isSelected, open: explain },
      {
        text: limit,
        words: `Limit ${limit}`,
        className: 'words',
        ...(place && { open: () => host.go(place) }),
      },
      {
        text: margin,
        words: `Margin ${margin}`,
        className: verdict,
        ...(share !== null && { share: Math.max(0, share) }),
        open: explain,
      },
      {
        ...words(`${SHAPES[verdict]} ${verdict}`),
        words: `${verdict}: ${meaning}`,
        className: `words ${verdict}`,
      },
      words(state),
    ],
  };
}
