import './panel-state.ts';
import './map-panel.css';
import { heightOf, widthOf } from '../../../shared/tables/surface.ts';
import type { AxisView, TableView } from '../../../shared/tables/view.ts';
import type { Work } from '../../../shared/tables/work.ts';
import { COMMITTED, type FromPanel, type Shown, type ToPanel } from '../messages.ts';
import { contourOf } from './contour.ts';
import { html } from './element.ts';
import { Entry } from './entry.ts';
import { cellWords, type GridEvents, gridOf } from './grid.ts';
import { differencePalette, type Palette, valuePalette } from './scales.ts';
import { areaOf, clamped, copied, isOne, only, type Selection } from './selection.ts';
import { sliceOf } from './slice.ts';
import { toolbar } from './toolbar.ts';

declare function acquireVsCodeApi(): { postMessage(message: FromPanel): void };

const editor = acquireVsCodeApi();
const panel = document.getElementById('panel')!;
const live = html('p', { class: 'spoken', 'aria-live': 'polite' });
const head = html('header');
const drawing = html('section');

let shown: Shown | undefined;
/** The last complete table: it stays visible while its text is half typed. */
let table: TableView | undefined;
let selection: Selection | undefined;
/** How often cells were selected here. */
let turn = 0;
/** The texts of the cells that a change would give, by row and column. */
let previewed: ReadonlyMap<string, string> = new Map();

const entry = new Entry({
  preview: (work) => editor.postMessage({ type: 'preview', work }),
  change: (work, moves) => {
    if (table && selection) change(work, isOne(selection) ? nextCell(table, selection, moves) : selection);
  },
  leave: () => currentCell()?.focus(),
});
const tools = html(
  'div',
  { class: 'tools' },
  toolbar({
    type: (text) => entry.begin(text),
    ask: (work, axis) => editor.postMessage({ type: 'ask', work, ...(axis && { axis }) }),
    step: (which) => editor.postMessage({ type: which }),
  }),
  entry.field,
);
panel.append(head, tools, entry.words, drawing, live);
// The editor's menu of this part offers the commands for cells.
drawing.setAttribute(
  'data-vscode-context',
  JSON.stringify({ webviewSection: 'cells', preventDefaultContextMenuItems: true }),
);

window.addEventListener('message', ({ data }: MessageEvent<ToPanel>) => {
  if (data.type === 'previewed') {
    previewed = new Map(data.cells.map(({ row, column, text }) => [keyOf(row, column), text]));
    entry.say(data.words, data.isRefused);
  } else {
    shown = data;
    if (data.table) {
      if (data.path !== table?.path) selection = undefined;
      table = data.table;
    }
    if (data.cells && data.turn === turn) selection = data.cells;
  }
  draw();
});
new ResizeObserver(() => draw()).observe(document.documentElement);
// The colours of a difference begin at the background of the theme.
new MutationObserver(() => draw()).observe(document.body, { attributes: true, attributeFilter: ['class'] });
editor.postMessage({ type: 'ready' });

document.addEventListener('copy', (event) => {
  if (!table || !selection || !isInGrid()) return;
  event.clipboardData?.setData('text/plain', copied(table, selection));
  event.preventDefault();
});
document.addEventListener('paste', (event) => {
  const text = event.clipboardData?.getData('text/plain');
  if (!isInGrid() || !text) return;
  if (selection) change({ kind: 'paste', text }, selection);
  event.preventDefault();
});

// The panel loses the focus for an undo in the text, and gets it back as a whole.
let wasInGrid = false;
document.addEventListener('focusin', ({ target }) => {
  if (target !== document.body) wasInGrid = target instanceof HTMLTableCellElement;
});
window.addEventListener('focus', () => {
  if (wasInGrid) currentCell()?.focus();
});

const isInGrid = (): boolean => document.activeElement instanceof HTMLTableCellElement;
const currentCell = (): HTMLElement | null => drawing.querySelector('td[tabindex="0"]');

function nextCell(view: TableView, { to }: Selection, moves: 'down' | 'right'): Selection {
  const next = moves === 'down' ? { ...to, row: to.row + 1 } : { ...to, column: to.column + 1 };
  return clamped(view, only(next));
}

const change = (work: Work, next: Selection): void => editor.postMessage({ type: 'change', work, next });

function select(next: Selection): void {
  selection = next;
  draw();
  currentCell()?.focus();
  if (table) live.textContent = cellWords(table, next.to);
  editor.postMessage({ type: 'select', ...next, turn: ++turn });
}

const gridEvents: GridEvents = {
  select,
  open: () => selection && editor.postMessage({ type: 'open', to: selection.to }),
  type: (text) => entry.begin(text),
  undo: () => editor.postMessage({ type: 'undo' }),
  redo: () => editor.postMessage({ type: 'redo' }),
};

function draw(): void {
  if (!shown) return;
  const hadFocus = isInGrid();
  const choices = (): HTMLElement[] => [...head.querySelectorAll('select')];
  const chosen = choices().indexOf(document.activeElement as HTMLElement);
  const grid = () => drawing.querySelector('.grid');
  const [left, top] = [grid()?.scrollLeft ?? 0, grid()?.scrollTop ?? 0];
  head.replaceChildren(...(table || shown.tables.length > 0 ? headParts(shown) : []));
  drawing.replaceChildren(...(table ? body(table, shown) : [emptyNote(shown)]));
  tools.hidden = !table || shown.table === null;
  entry.words.hidden = tools.hidden;
  grid()?.scrollTo(left, top);
  choices()[chosen]?.focus();
  if (hadFocus) currentCell()?.focus();
  else if (selection && !entry.isTyping)
    currentCell()?.scrollIntoView({ block: 'nearest', inline: 'nearest' });
}

function headParts({ tables, path, against, revision }: Shown): HTMLElement[] {
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
    option(COMMITTED, revision ?? 'Committed version', against),
    ...tables.filter((one) => one.isComparable).map((one) => option(one.path, one.path, against)),
  );
  other.addEventListener('change', () => editor.postMessage({ type: 'against', path: other.value || null }));
  return [choice, other];
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
  const view = isCompared ? difference : previewedIn(whole);
  const palette = isCompared
    ? differencePalette(view, getComputedStyle(document.body).backgroundColor)
    : valuePalette(view);
  const drawn = selection && clamped(view, selection);
  const place = drawn?.to ?? { row: 0, column: 0 };
  entry.hold(whole.texts[place.row]?.[place.column] ?? '');
  const isPreviewed = (row: number, column: number): boolean => previewed.has(keyOf(row, column));
  return [
    noteOf(view, drawn ?? only(place), isOld, isCompared, told),
    gridOf(view, palette, { selection: drawn ?? null, isPreviewed }, gridEvents),
    charts(view, palette, place),
  ];
}

/** The table with the cells of the change that is previewed. */
function previewedIn(view: TableView): TableView {
  if (previewed.size === 0) return view;
  const texts = view.texts.map((line, row) =>
    line.map((text, column) => previewed.get(keyOf(row, column)) ?? text),
  );
  return { ...view, texts, numbers: texts.map((line) => line.map(Number)) };
}

const keyOf = (row: number, column: number): string => `${row} ${column}`;

function noteOf(
  view: TableView,
  chosen: Selection,
  isOld: boolean,
  isCompared: boolean,
  { against, revision, whyNot = 'No matching table found.' }: Shown,
): HTMLElement {
  if (isOld)
    return html(
      'p',
      { class: 'note broken' },
      'The rows do not match the breakpoints. Showing the last complete table.',
    );
  if (against !== null && !isCompared)
    return html('p', { class: 'note broken' }, `${whyNot} Showing the table itself.`);
  const area = areaOf(chosen);
  const size = isOne(chosen) ? '' : `${heightOf(area)} × ${widthOf(area)} cells selected; `;
  const words = `${size}${cellWords(view, chosen.to)}`;
  return html(
    'p',
    { class: 'note' },
    isCompared
      ? `${words}, compared with ${against === COMMITTED ? (revision ?? 'the committed version') : against}`
      : words,
  );
}

const hasRows = (view: TableView): view is TableView & { readonly y: AxisView } => view.y !== null;

function charts(view: TableView, palette: Palette, place: Selection['to']): HTMLElement {
  const width = Math.max(260, panel.clientWidth - 2);
  const move = (to: Selection['to']) => select(only(to));
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
    html('figure', {}, contourOf(view, palette, selection ? place : null, main, isWide ? 400 : 330, move)),
    html(
      'div',
      { class: 'slices' },
      html('figure', {}, sliceOf(view, 'x', place, side - 4, isWide ? 200 : 190, move)),
      html('figure', {}, sliceOf(view, 'y', place, side - 4, isWide ? 200 : 190, move)),
    ),
  );
}
