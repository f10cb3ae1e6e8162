import '../../map-panel/view/panel-state.ts';
import './run-panel.css';
import type { RunMap, RunSteps, RunTable, RunView } from '../../../server/features/run-view-types.ts';
import { html } from '../../map-panel/view/element.ts';
import type { FromPanel, Place, ToPanel } from '../messages.ts';
import { Course } from './course.ts';
import { curvePlot } from './curves.ts';

declare function acquireVsCodeApi(): { postMessage(message: FromPanel): void };

const editor = acquireVsCodeApi();
const panel = document.getElementById('panel')!;
let course: Course | undefined;

window.addEventListener('message', ({ data }: MessageEvent<ToPanel>) => {
  if (data.type === 'shown') draw(data.view);
  else if (data.steps) course?.show(data.steps satisfies RunSteps);
});
editor.postMessage({ type: 'ready' });

function draw(view: RunView | null): void {
  course?.dispose();
  course = undefined;
  if (!view) {
    panel.replaceChildren(html('p', { class: 'note' }, 'Open a run file (*.run.yaml) to see its run here.'));
    return;
  }
  if (view.problem !== null) {
    panel.replaceChildren(html('p', { class: 'note broken' }, view.problem));
    return;
  }
  const plots = html('div', { class: 'plots' });
  panel.replaceChildren(
    ...view.sentences.map((text) => html('p', { class: 'sentence' }, text)),
    ...view.notes.map((text) => html('p', { class: 'note' }, text)),
    html('h2', {}, 'Course'),
    html('p', { class: 'note' }, 'Drag to zoom in, double-click to see the whole run.'),
    plots,
    ...view.curves.flatMap((curve) => [html('h2', {}, curve.label), curvePlot(curve, panel.clientWidth)]),
    ...view.maps.flatMap(mapOf),
    ...view.tables.flatMap(tableOf),
  );
  course = new Course(view, plots, (from, to, most) => editor.postMessage({ type: 'zoom', from, to, most }));
}

function tableOf({ title, head, rows, places }: RunTable): HTMLElement[] {
  const cell = (text: string, place: Place | null, isFirst: boolean) =>
    html('td', {}, place && isFirst ? link(text, place) : text);
  return [
    html('h2', {}, title),
    html(
      'div',
      { class: 'wide', tabindex: 0, role: 'region', 'aria-label': title },
      html(
        'table',
        {},
        html('thead', {}, html('tr', {}, ...head.map((text) => html('th', {}, text)))),
        html(
          'tbody',
          {},
          ...rows.map((row, i) =>
            html('tr', {}, ...row.map((text, j) => cell(text, places[i] ?? null, j === 0))),
          ),
        ),
      ),
    ),
  ];
}

/** A text that leads to its place in the engine file. */
function link(text: string, place: Place): HTMLElement {
  const button = html('button', { class: 'place', type: 'button' }, text);
  button.addEventListener('click', () => editor.postMessage({ type: 'go', place }));
  return button;
}

/** The departures of the volumetric efficiency, as the map is written: pressure down, speed across. */
function mapOf({ mapSets, columns, rows, cells }: RunMap): HTMLElement[] {
  const at = new Map(cells.map((cell) => [`${cell.row} ${cell.column}`, cell]));
  const line = (label: string, row: number) =>
    html(
      'tr',
      {},
      html('th', {}, label),
      ...columns.map((_, column) => {
        const cell = at.get(`${row} ${column}`);
        return html('td', { class: cell?.believed ? 'believed' : '' }, cell?.text ?? '');
      }),
    );
  return [
    html('h2', {}, `Volumetric efficiency${mapSets && ` (${mapSets})`}: measured less now, % of the cell`),
    html(
      'p',
      { class: 'note' },
      'Believed cells in bold. The code action in the run file takes them into the map.',
    ),
    html(
      'div',
      { class: 'wide', tabindex: 0, role: 'region', 'aria-label': `Departures${mapSets && ` (${mapSets})`}` },
      html(
        'table',
        { class: 'map' },
        html('tr', {}, html('th', {}, 'kPa / rpm'), ...columns.map((speed) => html('th', {}, speed))),
        ...rows.map(line),
      ),
    ),
  ];
}
