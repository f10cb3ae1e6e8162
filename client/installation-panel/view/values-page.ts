import type {
  CellView,
  InstallationView,
  RowView,
} from '../../../server/features/installation-view-types.ts';
import { html } from '../../map-panel/view/element.ts';
import { withUnit } from '../../map-panel/view/scales.ts';
import type { Host } from './choices.ts';
import { matches, nextOrder, type Sortable, sorted } from './order.ts';
import { type Cell, type Head, type Row, sharesOf, sortedTable } from './sorted-table.ts';

const NAME: Head = { key: 'name', label: 'Operating point', unit: '' };

/** The derived values at each operating point, and those for the whole installation. */
export function valuesPage({ values }: InstallationView, host: Host): HTMLElement[] {
  const { filter } = host.choices;
  const shown = values.columns.filter(({ label, isGiven }) => isGiven || matches(label, filter));
  const derived = values.columns.filter(({ isGiven }) => !isGiven);
  const whole = values.whole.filter(({ label }) => matches(label, filter));
  const kept = shown.filter(({ isGiven }) => !isGiven).length + whole.length;
  const count = `Showing ${kept} of ${derived.length + values.whole.length} values.`;
  return [
    html('p', { class: 'note', role: 'status' }, filter === '' ? HINT : count),
    values.rows.length > 0
      ? html('div', { class: 'scroll points-table' }, pointsTable(values, host))
      : html('p', { class: 'note' }, 'No operating point has a speed.'),
    ...(whole.length > 0
      ? [html('h2', {}, 'Values for the whole installation'), wholeTable(whole, host)]
      : []),
  ];
}

const HINT = 'Select a value for its derivation, or a column heading to sort.';

function pointsTable({ columns, rows }: InstallationView['values'], host: Host): HTMLElement {
  const { filter, pointOrder, asked } = host.choices;
  const kept = columns.map(({ label, isGiven }) => isGiven || matches(label, filter));
  const heads = [
    NAME,
    ...columns
      .filter((_, i) => kept[i])
      .map(({ key, label, unit, isGiven }) => ({ key, label, unit, ...(isGiven && { className: 'given' }) })),
  ];
  const shares = columns.map((_, i) => sharesOf(rows.map(({ cells }) => cells[i]?.number ?? null)));
  const lines = rows.map((row, r) => ({ row, r }));
  const inOrder = sorted(lines, pointOrder, ({ row }, key): Sortable => {
    if (key === NAME.key) return row.name;
    const cell = row.cells[columns.findIndex((column) => column.key === key)];
    return cell ? (cell.number ?? cell.text) : null;
  });
  const body = inOrder.map(({ row, r }): Row => {
    const cells = row.cells.flatMap((cell, i) => {
      const column = columns[i]!;
      if (!kept[i]) return [];
      const words = `${column.label} at ${row.name}: ${cell ? withUnit(cell.text, column.unit) : 'unknown'}`;
      return [valueCell(cell, words, shares[i]?.[r], column.isGiven, asked?.value, host)];
    });
    return { key: row.name, cells: [nameCell(row, host), ...cells] };
  });
  return sortedTable('Values at operating points', heads, body, pointOrder, (key) =>
    host.choose({ pointOrder: nextOrder(pointOrder, key) }),
  );
}

function nameCell({ name, place }: RowView, host: Host): Cell {
  return { text: name, words: name, ...(place && { open: () => host.go(place) }) };
}

function valueCell(
  cell: CellView | null,
  words: string,
  share: number | undefined,
  isGiven: boolean,
  selected: string | undefined,
  host: Host,
): Cell {
  if (!cell) return { text: '–', words, className: 'none' };
  const { text, value, place } = cell;
  const open = value ? () => host.explain({ value, through: [] }) : place ? () => host.go(place) : undefined;
  return {
    text,
    words,
    ...(isGiven ? { className: 'given' } : share !== undefined && { share }),
    ...(value !== null && value === selected && { isSelected: true }),
    ...(open && { open }),
  };
}

function wholeTable(values: InstallationView['values']['whole'], host: Host): HTMLElement {
  const { wholeOrder, asked } = host.choices;
  const heads: Head[] = [
    { key: 'label', label: 'Value', unit: '', className: 'words first' },
    { key: 'text', label: 'Result', unit: '' },
    { key: 'place', label: 'Applies to', unit: '', className: 'words' },
  ];
  const rows = sorted(values, wholeOrder, (one, key): Sortable => {
    if (key === 'label') return one.label;
    return key === 'text' ? one.text : (one.place?.name ?? null);
  }).map(({ value, label, text, place }): Row => {
    const explain = () => host.explain({ value, through: [] });
    return {
      key: value,
      cells: [
        { text: label, words: label, className: 'words', open: explain },
        { text, words: `${label}: ${text}`, isSelected: value === asked?.value, open: explain },
        {
          text: place?.name ?? '–',
          words: place?.name ?? 'no place in the file',
          className: 'words path',
          ...(place && { open: () => host.go(place) }),
        },
      ],
    };
  });
  return sortedTable('Values for the whole installation', heads, rows, wholeOrder, (key) =>
    host.choose({ wholeOrder: nextOrder(wholeOrder, key) }),
  );
}
