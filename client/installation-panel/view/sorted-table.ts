import { extentOf, shareOf } from '../../../shared/tables/scale.ts';
import { html } from '../../map-panel/view/element.ts';
import { roving, stopAt } from '../../map-panel/view/roving.ts';
import { breakable } from './breakable.ts';
import { ariaSort, arrow, type Order } from './order.ts';

export interface Head {
  readonly key: string;
  readonly label: string;
  readonly unit: string;
  readonly className?: string;
}

export interface Cell {
  readonly text: string;
  /** The text for screen readers, with the names of row and column. */
  readonly words: string;
  /** The number's share of its column's range, 0 to 1; without it no bar is drawn. */
  readonly share?: number;
  readonly className?: string;
  readonly isSelected?: boolean;
  /** The action of Enter or a click; without it the cell is read-only. */
  readonly open?: () => void;
}

export interface Row {
  readonly key: string;
  /** The first cell names the row. */
  readonly cells: readonly Cell[];
}

/**
 * A table that is sorted by its headings and navigated with the arrow keys. `sort` gets the key of the heading.
 */
export function sortedTable(
  name: string,
  heads: readonly Head[],
  rows: readonly Row[],
  order: Order | null,
  sort: (key: string) => void,
): HTMLTableElement {
  const lines: HTMLElement[][] = [heads.map((head) => headCell(head, order, sort))];
  for (const { key, cells } of rows)
    lines.push(cells.map((cell, i) => bodyCell(cell, i === 0, `${key} ${heads[i]!.key}`)));
  const line = (cells: readonly HTMLElement[]) => html('tr', {}, ...cells);
  const table = html(
    'table',
    { role: 'grid', 'aria-label': name, 'aria-rowcount': lines.length },
    html('thead', {}, line(lines[0]!)),
    html('tbody', {}, ...lines.slice(1).map(line)),
  );
  roving(table, () => lines);
  const stop = table.querySelector<HTMLElement>('[aria-selected="true"]') ?? lines[0]?.[0];
  if (stop) stopAt(table, stop);
  return table;
}

function headCell({ key, label, unit, className }: Head, order: Order | null, sort: (key: string) => void) {
  const made = html(
    'th',
    {
      scope: 'col',
      role: 'columnheader',
      class: className,
      tabindex: -1,
      'aria-sort': ariaSort(order, key),
      'data-key': `head ${key}`,
      title: 'Sort',
    },
    html('span', { class: 'label' }, label, html('span', { class: 'arrow' }, arrow(order, key))),
    ...(unit === '' ? [] : [html('span', { class: 'unit' }, unit)]),
  );
  made.addEventListener('click', () => sort(key));
  return made;
}

function bodyCell(cell: Cell, isName: boolean, key: string): HTMLElement {
  const { text, words, share, className, isSelected, open } = cell;
  const made = html(
    isName ? 'th' : 'td',
    {
      ...(isName ? { scope: 'row', role: 'rowheader' } : { role: 'gridcell' }),
      class: [className, open ? 'opens' : ''].join(' ').trim() || undefined,
      tabindex: -1,
      'aria-label': words,
      'aria-selected': isSelected ? 'true' : undefined,
      'data-key': key,
    },
    ...breakable(text),
  );
  if (share !== undefined) {
    const bar = html('span', { class: 'bar' });
    bar.style.setProperty('inline-size', `${Math.max(0.03, share) * 100}%`);
    made.append(html('span', { class: 'track' }, bar));
  }
  if (open) made.addEventListener('click', open);
  return made;
}

/** The share of each number between the lowest and the highest; undefined if all are equal. */
export function sharesOf(numbers: readonly (number | null)[]): (number | undefined)[] {
  const known = numbers.filter((number) => number !== null);
  const extent = extentOf(known);
  if (known.length < 2 || extent[0] === extent[1]) return numbers.map(() => undefined);
  return numbers.map((number) => (number === null ? undefined : shareOf(number, extent)));
}
