import { inside } from '../../../shared/tables/surface.ts';
import type { TableView } from '../../../shared/tables/view.ts';
import type { CellPlace } from '../messages.ts';
import { html } from './element.ts';
import { isReached } from './reach.ts';
import { type Palette, textOn, withUnit } from './scales.ts';
import { areaOf, moved, only, type Selection } from './selection.ts';

/** What keys and mouse do in the grid. */
export interface GridEvents {
  select(selection: Selection): void;
  open(): void;
  /** Begin to type; undefined edits the text of the cell. */
  type(text: string | undefined): void;
  undo(): void;
  redo(): void;
}

/** `82.5 % at engine speed 2400 rpm, manifold pressure 100 kPa abs` */
export function cellWords(view: TableView, { row, column }: CellPlace): string {
  const { x, y, texts, unit } = view;
  const value = withUnit(texts[row]?.[column] ?? '', unit);
  const across = `${x.label.toLowerCase()} ${withUnit(x.texts[column] ?? '', x.unit)}`;
  const down = y ? `, ${y.label.toLowerCase()} ${withUnit(y.texts[row] ?? '', y.unit)}` : '';
  return `${value} at ${across}${down}`;
}

/** What the grid draws beside the table. */
export interface GridState {
  /** Null if the cursor is on no cell of the table. */
  readonly selection: Selection | null;
  /** The cells whose text is only previewed. */
  readonly isPreviewed: (row: number, column: number) => boolean;
}

/**
 * The table as numbers, in the order of the text, each cell in the colour of its value. Cells that the engine does not reach
 * are hatched.
 */
export function gridOf(
  view: TableView,
  palette: Palette,
  { selection, isPreviewed }: GridState,
  events: GridEvents,
): HTMLElement {
  const { x, y, texts, numbers } = view;
  const cursor = selection?.to;
  const area = selection && areaOf(selection);
  const current = selection ?? only({ row: 0, column: 0 });
  const head = html(
    'tr',
    {},
    html('th', { class: 'corner' }, y ? `${y.unit || y.label} ╲ ${x.unit || x.label}` : x.unit || x.label),
    ...x.texts.map((text, c) =>
      html('th', { scope: 'col', class: c === cursor?.column ? 'here' : undefined }, text),
    ),
  );
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
        const isSelected = area !== null && inside(area, row, column);
        const isNew = isPreviewed(row, column);
        const colour = palette.colour(numbers[row]![column]!);
        const cell = html(
          'td',
          {
            role: 'gridcell',
            tabindex: row === current.to.row && column === current.to.column ? 0 : -1,
            class:
              [
                isHere ? 'here' : '',
                isSelected ? 'selected' : '',
                isNew ? 'new' : '',
                isReached(view, row, column) ? '' : 'beyond',
              ]
                .filter(Boolean)
                .join(' ') || undefined,
            'aria-selected': isSelected ? 'true' : undefined,
            'aria-label': `${cellWords(view, { row, column })}${isNew ? ', not yet written' : ''}`,
            'data-row': row,
            'data-column': column,
          },
          text,
        );
        cell.style.setProperty('background-color', colour);
        cell.style.setProperty('color', textOn(colour));
        return cell;
      }),
    ),
  );
  const table = html(
    'table',
    { role: 'grid', 'aria-label': view.label, 'aria-multiselectable': 'true' },
    html('thead', {}, head),
    html('tbody', {}, ...rows),
  );
  listen(table, view, current, events);
  return html('div', { class: 'grid' }, table);
}

function listen(table: HTMLElement, view: TableView, current: Selection, events: GridEvents): void {
  table.addEventListener('mousedown', (event) => {
    const place = placeOf(event.target);
    if (!place || event.button !== 0) return;
    events.select(event.shiftKey ? { from: current.from, to: place } : only(place));
    // The cells are drawn anew, so the browser's own focus and text selection would be lost.
    event.preventDefault();
  });
  table.addEventListener('mouseover', ({ target, buttons }) => {
    const place = placeOf(target);
    if (place && buttons === 1) events.select({ from: current.from, to: place });
  });
  table.addEventListener('dblclick', ({ target }) => {
    if (placeOf(target)) events.type(undefined);
  });
  table.addEventListener('keydown', (event) => {
    if (!placeOf(event.target) || !act(event, view, current, events)) return;
    event.preventDefault();
    event.stopPropagation();
  });
}

/** Does what a key stands for; false if it stands for nothing. */
function act(event: KeyboardEvent, view: TableView, current: Selection, events: GridEvents): boolean {
  const { key, ctrlKey, metaKey, altKey, shiftKey } = event;
  const withControl = ctrlKey || metaKey;
  if (altKey) return false;
  const next = moved(view, current, event);
  if (next) events.select(next);
  else if (key === 'Enter' && withControl) events.open();
  else if (key === 'Enter' || key === 'F2') events.type(undefined);
  else if (withControl && key.toLowerCase() === 'z' && !shiftKey) events.undo();
  else if (withControl && (key.toLowerCase() === 'y' || key.toLowerCase() === 'z')) events.redo();
  else if (!withControl && /^[\d.+*/−-]$/.test(key)) events.type(key);
  else return false;
  return true;
}

function placeOf(target: EventTarget | null): CellPlace | undefined {
  const cell = target instanceof Element ? target.closest('td') : null;
  if (!cell) return undefined;
  return { row: Number(cell.getAttribute('data-row')), column: Number(cell.getAttribute('data-column')) };
}
