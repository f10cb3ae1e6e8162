import type { TableView } from '../../../shared/tables/view.ts';
import type { CellPlace } from '../messages.ts';
import { html } from './element.ts';
import { isReached } from './reach.ts';
import { type Palette, withUnit } from './scales.ts';

/** The actions of keys and mouse in the grid. */
export interface GridEvents {
  move(place: CellPlace): void;
  open(place: CellPlace): void;
}

/** `82.5 % at engine speed 2400 rpm, manifold pressure 100 kPa abs` */
export function cellWords(view: TableView, { row, column }: CellPlace): string {
  const { x, y, texts, unit } = view;
  const value = withUnit(texts[row]?.[column] ?? '', unit);
  const across = `${x.label.toLowerCase()} ${withUnit(x.texts[column] ?? '', x.unit)}`;
  const down = y ? `, ${y.label.toLowerCase()} ${withUnit(y.texts[row] ?? '', y.unit)}` : '';
  return `${value} at ${across}${down}`;
}

/**
 * The table as numbers, in the order of the text. A bar under each number shows its size among the others. Cells that the
 * engine does not reach are faint.
 */
export function gridOf(
  view: TableView,
  palette: Palette,
  cursor: CellPlace | null,
  events: GridEvents,
): HTMLElement {
  const { x, y, texts, numbers } = view;
  const head = html(
    'tr',
    {},
    html('th', { class: 'corner' }, y ? `${y.unit || y.label} ╲ ${x.unit || x.label}` : x.unit || x.label),
    ...x.texts.map((text, c) =>
      html('th', { scope: 'col', class: c === cursor?.column ? 'here' : undefined }, text),
    ),
  );
  const stop = cursor ?? { row: 0, column: 0 };
  const rows = texts.map((cells, row) =>
    html(
      'tr',
      {},
      html(
        'th',
        { scope: 'row', class: row === cursor?.row ? 'here' : undefined },
        y?.texts[row] ?? view.unit,
      ),
      ...cells.map((text, column) => {
        const isHere = row === cursor?.row && column === cursor.column;
        const bar = html('span', { class: 'bar' });
        const number = numbers[row]![column]!;
        const { start, size } = palette.bar(number);
        bar.style.setProperty('margin-inline-start', `${start * 100}%`);
        bar.style.setProperty('inline-size', `${size * 100}%`);
        bar.style.setProperty('background-color', palette.colour(number));
        return html(
          'td',
          {
            role: 'gridcell',
            tabindex: row === stop.row && column === stop.column ? 0 : -1,
            class:
              [isHere ? 'here' : '', isReached(view, row, column) ? '' : 'beyond'].join(' ').trim() ||
              undefined,
            'aria-selected': isHere ? 'true' : undefined,
            'aria-label': cellWords(view, { row, column }),
            'data-row': row,
            'data-column': column,
          },
          text,
          html('span', { class: 'track' }, bar),
        );
      }),
    ),
  );
  const table = html(
    'table',
    { role: 'grid', 'aria-label': view.label },
    html('thead', {}, head),
    html('tbody', {}, ...rows),
  );
  table.addEventListener('click', ({ target }) => {
    const place = placeOf(target);
    if (place) events.move(place);
  });
  table.addEventListener('dblclick', ({ target }) => {
    const place = placeOf(target);
    if (place) events.open(place);
  });
  table.addEventListener('keydown', (event) => {
    const place = placeOf(event.target);
    if (!place) return;
    if (event.key === 'Enter') events.open(place);
    else {
      const next = moved(view, place, event);
      if (!next) return;
      events.move(next);
    }
    event.preventDefault();
  });
  return html('div', { class: 'grid' }, table);
}

function placeOf(target: EventTarget | null): CellPlace | undefined {
  const cell = target instanceof Element ? target.closest('td') : null;
  if (!cell) return undefined;
  return { row: Number(cell.getAttribute('data-row')), column: Number(cell.getAttribute('data-column')) };
}

/** The cell that a key leads to: arrows by one cell, Home and End along the row, with Control to the corners. */
export function moved(
  { texts }: TableView,
  { row, column }: CellPlace,
  { key, ctrlKey }: Pick<KeyboardEvent, 'key' | 'ctrlKey'>,
): CellPlace | undefined {
  const bottom = texts.length - 1;
  const right = (texts[0]?.length ?? 1) - 1;
  switch (key) {
    case 'ArrowUp':
      return { row: Math.max(0, row - 1), column };
    case 'ArrowDown':
      return { row: Math.min(bottom, row + 1), column };
    case 'ArrowLeft':
      return { row, column: Math.max(0, column - 1) };
    case 'ArrowRight':
      return { row, column: Math.min(right, column + 1) };
    case 'Home':
      return { row: ctrlKey ? 0 : row, column: 0 };
    case 'End':
      return { row: ctrlKey ? bottom : row, column: right };
    default:
      return undefined;
  }
}
