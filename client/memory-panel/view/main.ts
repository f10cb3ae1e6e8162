import '../../map-panel/view/panel-state.ts';
import './memory-panel.css';
import type { MemoryView } from '../../../server/features/memory-view-types.ts';
import { html } from '../../map-panel/view/element.ts';
import { roving, stopAt } from '../../map-panel/view/roving.ts';
import type { FromPanel, ToPanel } from '../messages.ts';
import { type DrawnByte, type DrawnRow, rowsOf } from './rows.ts';

declare function acquireVsCodeApi(): { postMessage(message: FromPanel): void };

const editor = acquireVsCodeApi();
const panel = document.getElementById('panel')!;
const summary = html('p', { class: 'note', role: 'status' });
const problems = html('ul', { class: 'problems' });
const told = html('p', { class: 'told', 'aria-live': 'polite' });
const table = html('div', { class: 'memory', role: 'grid', 'aria-label': 'Bytes of the image' });
panel.append(summary, problems, told, table);

const HINT = 'Point at a byte for the value that it belongs to; select it to go to the text.';

/** The drawn bytes by address. */
let drawn = new Map<number, HTMLElement>();

window.addEventListener('message', ({ data }: MessageEvent<ToPanel>) => {
  if (data.type === 'shown') show(data.view);
  else mark(data.addresses);
});
editor.postMessage({ type: 'ready' });

function show(view: MemoryView | null): void {
  // The bytes are drawn anew; the keyboard stays where it was.
  const focused = [...drawn].find(([, element]) => element === document.activeElement)?.[0];
  drawn = new Map();
  told.textContent = view ? HINT : '';
  summary.textContent = view?.summary ?? 'The controller of this file describes no storage of known size.';
  problems.replaceChildren(
    ...(view?.problems ?? []).map(({ message, place }) => {
      const item = html('li', { class: 'broken' }, message);
      if (place) item.addEventListener('click', () => editor.postMessage({ type: 'go', place }));
      return item;
    }),
  );
  table.replaceChildren(...(view ? rowsOf(view).map((row) => rowElement(row, view)) : []));
  const stop = (focused !== undefined && drawn.get(focused)) || drawn.values().next().value;
  if (stop) stopAt(table, stop);
  if (focused !== undefined) drawn.get(focused)?.focus();
}

// From byte to byte; rows in which nothing is stored have none.
roving(table, () =>
  [...table.children].map((row) => [...row.querySelectorAll('button')]).filter((row) => row.length > 0),
);

const address = (at: number): string => at.toString(16).toUpperCase().padStart(4, '0');

function rowElement(row: DrawnRow, { base }: MemoryView): HTMLElement {
  const head = html('span', { class: 'address', role: 'rowheader' }, address(base + row.at));
  if (row.type !== 'bytes') {
    const text =
      row.type === 'free'
        ? `free, up to ${address(base + row.end - 1)}`
        : `${row.rows} more rows with values are not shown`;
    return html('div', { class: 'row free', role: 'row' }, head, html('span', { role: 'gridcell' }, text));
  }
  return html('div', { class: 'row', role: 'row' }, head, ...row.bytes.map(byteElement));
}

function byteElement(byte: DrawnByte): HTMLElement {
  const { at, hex, regions, colour, cell } = byte;
  const [region] = regions;
  if (!region)
    return html('span', { class: 'byte unused', role: 'gridcell', title: `${address(at)}: free` }, hex);
  const names = regions.map(({ label }) => label).join(' and ');
  const text = `${address(at)}: ${names}${cell ? `, ${cell.text}` : ''}`;
  const isShared = regions.length > 1;
  const kinds = `${region.kind}${isShared ? ' shared' : ''}${cell ? '' : ' padding'}`;
  const element = html(
    'button',
    {
      ...{ class: `byte ${kinds} colour-${colour}`, role: 'gridcell', tabindex: -1 },
      ...{ title: text, 'aria-label': `${hex} at ${text}` },
    },
    hex,
  );
  const place = cell?.place ?? region.place;
  element.addEventListener('mouseenter', () => {
    told.textContent = text;
  });
  element.addEventListener('focus', () => {
    told.textContent = text;
  });
  if (place) element.addEventListener('click', () => editor.postMessage({ type: 'go', place }));
  drawn.set(at, element);
  return element;
}

/** Marks the values at the cursor and shows the first of them. */
function mark(addresses: readonly number[]): void {
  for (const element of table.querySelectorAll('.marked')) element.classList.remove('marked');
  const elements = addresses.flatMap((at) => drawn.get(at) ?? []);
  for (const element of elements) element.classList.add('marked');
  const [first] = elements;
  if (!first) return;
  first.scrollIntoView({ block: 'nearest' });
  told.textContent = first.title;
}
