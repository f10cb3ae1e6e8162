import type { FaultRowView, FaultTableView } from '../../../server/features/installation-view-types.ts';
import { html } from '../../map-panel/view/element.ts';
import type { Host } from './choices.ts';
import { linkTo } from './link.ts';

/** A shape for each severity, so that colour is not its only sign. */
const SHAPES: Readonly<Record<FaultRowView['severity'], string>> = {
  stops: '■',
  damages: '▲',
  degrades: '▼',
  announces: '○',
  hidden: '?',
};

const HEADS = ['Fails', 'Effect', 'Shown by', 'Lost'];

/** What each single fault does, the worst first. Undefined until the table has arrived. */
export function faultsPage(faults: FaultTableView | null | undefined, host: Host): HTMLElement[] {
  if (!faults) return [html('p', { class: 'note' }, faults === undefined ? 'Loading…' : 'No installation.')];
  const severities = [...new Set(faults.rows.map(({ severity }) => severity))];
  const head = html('tr', {}, ...HEADS.map((title) => html('th', { scope: 'col' }, title)));
  return [
    html(
      'p',
      { class: 'note', role: 'status' },
      `Single faults: ${faults.summary}. Select what fails to go to it in the text.`,
    ),
    html(
      'div',
      { class: 'scroll whole' },
      html(
        'table',
        { class: 'list faults' },
        html('thead', {}, head),
        ...severities.map((severity) => severityPart(severity, faults.rows, host)),
      ),
    ),
  ];
}

function severityPart(
  severity: FaultRowView['severity'],
  rows: readonly FaultRowView[],
  host: Host,
): HTMLElement {
  const own = rows.filter((row) => row.severity === severity);
  const title = html('strong', {}, `${SHAPES[severity]} ${severity}`);
  const head = html(
    'th',
    { scope: 'rowgroup', colspan: HEADS.length, class: severity },
    title,
    ` ${own[0]!.meaning}`,
  );
  return html('tbody', {}, html('tr', {}, head), ...own.map((row) => rowOf(row, host)));
}

function rowOf(row: FaultRowView, host: Host): HTMLElement {
  const { how, effects, shownBy, lost } = row;
  const link = linkTo(row, host.go);
  link.setAttribute('data-key', `${row.text} ${how}`);
  return html(
    'tr',
    {},
    html('th', { scope: 'row' }, link, html('p', { class: 'note' }, how)),
    html('td', {}, ...effects.map((text) => html('p', {}, text))),
    html('td', {}, shownBy),
    html('td', {}, lost),
  );
}
