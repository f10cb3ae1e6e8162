import './map-panel.css';
import type { AxisView, TableView } from '../../../shared/tables/view.ts';
import { type CellPlace, COMMITTED, type FromPanel, type Shown } from '../messages.ts';
import { contourOf } from './contour.ts';
import { html } from './element.ts';
import { cellWords, gridOf } from './grid.ts';
import { differencePalette, type Palette, valuePalette } from './scales.ts';
import { sliceOf } from './slice.ts';

declare function acquireVsCodeApi(): { postMessage(message: FromPanel): void };

const editor = acquireVsCodeApi();
const panel = document.getElementById('panel')!;
const live = html('p', { class: 'spoken', 'aria-live': 'polite' });

let shown: Shown | undefined;
/** The last complete table: it stays visible while its text is half typed. */
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
  const choices = (): HTMLElement[] => [...panel.querySelectorAll('select')];
  const chosen = choices().indexOf(document.activeElement as HTMLElement);
  const scrolled = panel.querySelector('.grid')?.scrollLeft ?? 0;
  const head = table || shown.tables.length > 0 ? [heading(shown)] : [];
  panel.replaceChildren(...head, ...(table ? body(table, shown) : [emptyNote(shown)]), live);
  const grid = panel.querySelector('.grid');
  if (grid) grid.scrollLeft = scrolled;
  const stop = panel.querySelector<HTMLElement>('td[tabindex="0"]');
  choices()[chosen]?.focus();
  if (hadFocus) stop?.focus();
  else if (cursor) stop?.scrollIntoView({ block: 'nearest', inline: 'nearest' });
}

function heading({ tables, path, against }: Shown): HTMLElement {
  const option = (value: string, text: string, chosen: string | null) =>
    html('option', { value, ...(value === (chosen ?? '') && { selected: '' }) }, text);
  const choice = html(
    'select',
    { 'aria-label': 'Table' },
    ...tables.map((one) => option(one.path, `${one.label} — ${one.path}`, path)),
  );
  choice.addEventListener('change', () => editor.postMessage({ type: 'choose', path: choice.value }));
  const other = html(
    'select',
    { 'aria-label': 'Compare with' },
    option('', 'Compare with…', against),
    option(COMMITTED, 'Committed version', against),
    ...tables.filter((one) => one.isComparable).map((one) => option(one.path, one.path, against)),
  );
  other.addEventListener('change', () => editor.postMessage({ type: 'against', path: other.value || null }));
  return html('header', {}, choice, other);
}

const emptyNote = ({ tables }: Shown): HTMLElement =>
  html(
    'p',
    { class: 'note' },
    tables.length === 0
      ? 'This file has no curves or maps.'
      : 'Put the cursor in a curve or map, or select one above.',
  );

function body(whole: TableView, told: Shown): HTMLElement[] {
  const { table: now, path, difference } = told;
  const isOld = now === null && path === whole.path;
  const isCompared = difference !== null && !isOld;
  const view = isCompared ? difference : whole;
  const palette = isCompared ? differencePalette(view) : valuePalette(view);
  const place = clamped(view, cursor ?? { row: 0, column: 0 });
  const open = (to: CellPlace) => editor.postMessage({ type: 'open', ...to });
  return [
    noteOf(view, place, isOld, isCompared, told),
    gridOf(view, palette, cursor ? place : null, { move, open }),
    charts(view, palette, place),
  ];
}

function noteOf(
  view: TableView,
  place: CellPlace,
  isOld: boolean,
  isCompared: boolean,
  { against, whyNot = 'No matching table found.' }: Shown,
): HTMLElement {
  if (isOld)
    return html(
      'p',
      { class: 'note broken' },
      'The rows do not match the breakpoints. Showing the last complete table.',
    );
  if (against !== null && !isCompared)
    return html('p', { class: 'note broken' }, `${whyNot} Showing the table itself.`);
  const words = cellWords(view, place);
  return html(
    'p',
    { class: 'note' },
    isCompared
      ? `${words}, compared with ${against === COMMITTED ? 'the committed version' : against}`
      : words,
  );
}

function clamped({ texts }: TableView, { row, column }: CellPlace): CellPlace {
  const last = Math.max(0, Math.min(row, texts.length - 1));
  return { row: last, column: Math.max(0, Math.min(column, (texts[last]?.length ?? 1) - 1)) };
}

const hasRows = (view: TableView): view is TableView & { readonly y: AxisView } => view.y !== null;

function charts(view: TableView, palette: Palette, place: CellPlace): HTMLElement {
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
    html('figure', {}, contourOf(view, palette, cursor ? place : null, main, isWide ? 400 : 330, move)),
    html(
      'div',
      { class: 'slices' },
      html('figure', {}, sliceOf(view, 'x', place, side - 4, isWide ? 200 : 190, move)),
      html('figure', {}, sliceOf(view, 'y', place, side - 4, isWide ? 200 : 190, move)),
    ),
  );
}
