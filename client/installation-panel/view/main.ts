import '../../map-panel/view/panel-state.ts';
import './installation-panel.css';
import type {
  FaultTableView,
  HarnessView,
  InstallationView,
} from '../../../server/features/installation-view-types.ts';
import { html } from '../../map-panel/view/element.ts';
import type { FromPanel, PageName, ToPanel } from '../messages.ts';
import { boundsPage } from './bounds-page.ts';
import { type Choices, type Host, NO_CHOICES } from './choices.ts';
import { explanationOf } from './explanation.ts';
import { faultsPage } from './faults-page.ts';
import { harnessPage } from './harness-page.ts';
import { pressable } from './link.ts';
import { pinDetails, pinsPage } from './pins-page.ts';
import { sensorsPage } from './sensors-page.ts';
import { tabList } from './tabs.ts';
import { valuesPage } from './values-page.ts';

declare function acquireVsCodeApi(): {
  postMessage(message: FromPanel): void;
  getState(): Partial<Choices> | undefined;
  setState(choices: Choices): void;
};

const editor = acquireVsCodeApi();
const panel = document.getElementById('panel')!;

let choices: Choices = { ...NO_CHOICES, ...editor.getState() };
let view: InstallationView | undefined;
let harness: HarnessView | null | undefined;
let faults: FaultTableView | null | undefined;
/** Whether the view shown may be outdated because no engine file is open. */
let isOld = false;
/** The last explanation received. */
let explained: Extract<ToPanel, { type: 'explained' }> | undefined;

const PAGES: Readonly<Record<PageName, string>> = {
  values: 'Derived values',
  pins: 'Pin plan',
  bounds: 'Bounds',
  harness: 'Harness',
  faults: 'Faults',
  sensors: 'Sensor curves',
};

const host: Host = {
  get choices() {
    return choices;
  },
  choose(changed) {
    const { page: before } = choices;
    choices = { ...choices, ...changed };
    editor.setState(choices);
    if (choices.page !== before) editor.postMessage({ type: 'page', page: choices.page });
    draw();
  },
  explain(asked) {
    host.choose({ asked });
    editor.postMessage({ type: 'explain', asked });
  },
  go: (place) => editor.postMessage({ type: 'go', place }),
  addState: (value) => editor.postMessage({ type: 'add', value }),
};

const tabs = tabList('Installation', PAGES, (page) => host.choose({ page }));
const filter = html('input', {
  type: 'search',
  placeholder: 'Filter values by name',
  'aria-label': 'Filter values by name',
  value: choices.filter,
});
filter.addEventListener('input', () => host.choose({ filter: filter.value }));
const page = html('div', { id: 'page', role: 'tabpanel' });
const dock = html('aside', { class: 'dock', 'aria-label': 'Explanation' });
const live = html('p', { class: 'spoken', 'aria-live': 'polite' });
panel.append(html('header', {}, tabs.element, filter), page, dock, live);

window.addEventListener('message', ({ data }: MessageEvent<ToPanel>) => {
  if (data.type === 'explained') {
    if (JSON.stringify(data.asked) !== JSON.stringify(choices.asked)) return;
    explained = data;
    live.textContent = data.explanation ? `${data.explanation.label} ${data.explanation.text}` : '';
  } else if (data.type === 'page') {
    host.choose({ page: data.page });
    return;
  } else if (data.type === 'harness') harness = data.view;
  else if (data.type === 'faults') faults = data.view;
  else {
    isOld = data.view === null;
    view = data.view ?? view;
    if (choices.asked) editor.postMessage({ type: 'explain', asked: choices.asked });
  }
  draw();
});
document.addEventListener('keydown', ({ key }) => {
  if (key === 'Escape' && !dock.hidden) closeDock();
});
new ResizeObserver(() => draw()).observe(document.documentElement);
editor.postMessage({ type: 'ready' });
editor.postMessage({ type: 'page', page: choices.page });
draw();

/** Closes the explanation and returns the focus to the cell or pin explained. */
function closeDock(): void {
  const explains = page.querySelector('[aria-selected="true"]')?.getAttribute('data-key');
  explained = undefined;
  host.choose(choices.page === 'pins' ? { pin: null } : { asked: null });
  if (explains) withKey(page, explains)?.focus({ preventScroll: true });
}

function draw(): void {
  tabs.select(choices.page);
  filter.hidden = choices.page !== 'values';
  page.setAttribute('aria-labelledby', tabs.idOf(choices.page));
  keepingPlace(page, () => page.replaceChildren(...pageContent()));
  keepingPlace(dock, () => dock.replaceChildren(...dockContent()));
  const opens = dock.hidden && dock.childElementCount > 0;
  dock.hidden = dock.childElementCount === 0;
  // The explanation must not hide what it explains.
  if (opens) page.querySelector('[aria-selected="true"]')?.scrollIntoView({ block: 'nearest' });
}

function pageContent(): HTMLElement[] {
  if (!view) {
    return [
      html('p', { class: 'note' }, isOld ? 'Open an engine file to see its installation.' : 'Loading…'),
    ];
  }
  const old = isOld
    ? [html('p', { class: 'note broken' }, 'Showing the installation that was last open.')]
    : [];
  switch (choices.page) {
    case 'values':
      return [...old, ...valuesPage(view, host)];
    case 'bounds':
      return [...old, ...boundsPage(view, host)];
    case 'pins':
      return [...old, ...pinsPage(view, host)];
    case 'harness':
      return [...old, ...harnessPage(harness, host)];
    case 'faults':
      return [...old, ...faultsPage(faults, host)];
    case 'sensors':
      return [...old, ...sensorsPage(view, host, Math.max(280, page.clientWidth - 2))];
  }
}

function dockContent(): HTMLElement[] {
  const parts = detailsOf();
  if (!parts) return [];
  const close = pressable('×', 'close', closeDock);
  close.setAttribute('aria-label', 'Close');
  return [close, ...parts];
}

function detailsOf(): HTMLElement[] | undefined {
  if (!view || ['harness', 'faults', 'sensors'].includes(choices.page)) return undefined;
  if (choices.page === 'pins') return choices.isPlanListed ? undefined : pinDetails(view, host);
  if (!choices.asked || !explained) return undefined;
  const { asked, explanation } = explained;
  if (!explanation) {
    return [html('p', { class: 'note broken' }, 'This value cannot be derived from the current text.')];
  }
  return explanationOf(explanation, asked, host);
}

/** Redraws a part and keeps the focus and the scroll position of each table. */
function keepingPlace(part: HTMLElement, redraw: () => void): void {
  const focused = part.contains(document.activeElement) ? document.activeElement : null;
  const key = focused?.getAttribute('data-key');
  const index = [...part.querySelectorAll<Element>('button')].indexOf(focused ?? part);
  const scrolled = [...part.querySelectorAll('.scroll')].map(({ scrollLeft, scrollTop }) => ({
    scrollLeft,
    scrollTop,
  }));
  redraw();
  part.querySelectorAll('.scroll').forEach((one, i) => {
    Object.assign(one, scrolled[i]);
  });
  if (!focused) return;
  const buttons = part.querySelectorAll('button');
  const again = key ? withKey(part, key) : buttons[Math.min(index, buttons.length - 1)];
  again?.focus({ preventScroll: true });
}

const withKey = (part: HTMLElement, key: string): HTMLElement | null =>
  part.querySelector<HTMLElement>(`[data-key="${CSS.escape(key)}"]`);
