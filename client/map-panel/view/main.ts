import './map-panel.css';
import type { AxisView, TableView } from '../../../shared/tables/view.ts';
import type { CellPlace, FromPanel, Shown } from '../messages.ts';
import { contourOf } from './contour.ts';
import { html } from './element.ts';
import { cellWords, gridOf } from './grid.ts';
import { sliceOf } from './slice.ts';

declare function acquireVsCodeApi(): { postMessage(message: FromPanel): void };

const editor = acquireVsCodeApi();
const panel = document.getElementById('panel')!;
const live = html('p', { class: 'spoken', 'aria-live': 'polite' });

let shown: Shown | undefined;
/** The last whole table: it stays in sight while its text is half typed. */
let table: TableView | undefined;
let cursor: CellPlace | undefined;

window.addEventListener('message', ({ data }: MessageEvent<Shown>) => {
  shown = data;
  if (data.table) {
    if (data.path !== table?.path) cursor = undefined;
    table = data.table;
  }
  cursor = data.cursor ?? cursor;
  draw();
});
new ResizeObserver(() => draw()).observe(document.documentElement);
editor.postMessage({ type: 'ready' });

function move(place: CellPlace): void {
  cursor = place;
  draw();
  if (table) live.textContent = cellWords(table, place);
  editor.postMessage({ type: 'move', ...place });
}

function draw(): void {
  if (!shown) return;
  const hadFocus = document.activeElement instanceof HTMLTableCellElement;
  const scrolled = panel.querySelector('.grid')?.scrollLeft ?? 0;
  const isWhole = shown.table !== null;
  const view = table;
  panel.replaceChildren(
    heading(shown),
    ...(view ? body(view, isWhole || shown.path !== view.path) : [emptyNote()]),
    live,
  );
  const grid = panel.querySelector('.grid');
  if (grid) grid.scrollLeft = scrolled;
  const stop = panel.querySelector<HTMLElement>('td[tabindex="0"]');
  if (hadFocus) stop?.focus({ preventScroll: false });
  else if (cursor) stop?.scrollIntoView({ block: 'nearest', inline: 'nearest' });
}

function heading({ tables, path }: Shown): HTMLElement {
  const choice = html(
    'select',
    { 'aria-label': 'Table' },
    ...tables.map((one) =>
      html(
        'option',
        { value: one.path, ...(one.path === path && { selected: '' }) },
        `${one.label} — ${one.path}`,
      ),
    ),
  );
  choice.addEventListener('change', () => editor.postMessage({ type: 'choose', path: choice.value }));
  return html('header', {}, choice);
}

const emptyNote = (): HTMLElement =>
  html('p', { class: 'note' }, 'Put the cursor of the text on a curve or a map, or choose one above.');

function body(view: TableView, isWhole: boolean): HTMLElement[] {
  const place = clamped(view, cursor ?? { row: 0, column: 0 });
  const open = (to: CellPlace) => editor.postMessage({ type: 'open', ...to });
  const note = isWhole
    ? html('p', { class: 'note' }, cellWords(view, place))
    : html(
        'p',
        { class: 'note broken' },
        'Rows and breakpoints do not agree just now. This is the table as it was.',
      );
  return [note, gridOf(view, cursor ? place : null, { move, open }), charts(view, place)];
}

function clamped({ texts }: TableView, { row, column }: CellPlace): CellPlace {
  const last = Math.max(0, Math.min(row, texts.length - 1));
  return { row: last, column: Math.max(0, Math.min(column, (texts[last]?.length ?? 1) - 1)) };
}

const hasRows = (view: TableView): view is TableView & { readonly y: AxisView } => view.y !== null;

function charts(view: TableView, place: CellPlace): HTMLElement {
  const width = Math.max(260, panel.clientWidth - 2);
  if (!hasRows(view))
    return html(
      'section',
      { class: 'charts' },
      html('figure', {}, sliceOf(view, 'x', place, width, 300, move)),
    );
  const isWide = width > 760;
  const side = isWide ? Math.floor(width * 0.4) : Math.floor(width / 2);
  const main = isWide ? width - side - 8 : width;
  return html(
    'section',
    { class: isWide ? 'charts wide' : 'charts' },
    html('figure', {}, contourOf(view, cursor ? place : null, main, isWide ? 400 : 330, move)),
    html(
      'div',
      { class: 'slices' },
      html('figure', {}, sliceOf(view, 'x', place, side - 4, isWide ? 200 : 190, move)),
      html('figure', {}, sliceOf(view, 'y', place, side - 4, isWide ? 200 : 190, move)),
    ),
  );
}
