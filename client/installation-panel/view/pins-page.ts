import type {
  ConnectorView,
  InstallationView,
  PinView,
} from '../../../server/features/installation-view-types.ts';
import { html } from '../../map-panel/view/element.ts';
import { roving, stopAt } from '../../map-panel/view/roving.ts';
import { breakable } from './breakable.ts';
import type { Host } from './choices.ts';
import { linkTo } from './link.ts';

/** All pins of the controller's connectors and of the harness, with what is connected to each. */
export function pinsPage({ plan }: InstallationView, host: Host): HTMLElement[] {
  const { controller, connectors, open } = plan;
  const named = controller
    ? html('p', { class: 'note' }, 'Controller: ', linkTo(controller, host.go), '. ', KEY)
    : html('p', { class: 'note' }, 'No controller file could be read, so only used pins are shown. ', KEY);
  const without = open.flatMap((link, i) => [i === 0 ? ' ' : ', ', linkTo(link, host.go)]);
  return [
    named,
    html('p', { class: 'choice' }, listChoice(host)),
    ...connectors.map((connector) => connectorPart(connector, host)),
    ...(open.length > 0 ? [html('p', { class: 'fault' }, '▲ No pin assigned:', ...without, '.')] : []),
  ];
}

const KEY = 'Pins are shown in numerical order, not in the layout of the real connector.';

function listChoice(host: Host): HTMLElement {
  const { isPlanListed } = host.choices;
  const box = html('input', { type: 'checkbox', 'data-key': 'list', ...(isPlanListed && { checked: '' }) });
  box.addEventListener('change', () => host.choose({ isPlanListed: box.checked }));
  return html('label', {}, box, ' Show as lists');
}

function connectorPart(connector: ConnectorView, host: Host): HTMLElement {
  const { name, kind, positions, pins } = connector;
  const where = kind === 'harness' ? 'Harness connector' : name === '' ? 'Pins' : 'Connector';
  const used = pins.filter(({ users }) => users.length > 0).length;
  const free = pins.filter(({ state }) => state === 'free').length;
  const count = positions === null ? '' : `${positions} pins, `;
  const isList = host.choices.isPlanListed || positions === null;
  return html(
    'section',
    { class: 'connector', 'aria-label': `${where} ${name}` },
    html(
      'h2',
      {},
      `${where} ${name} `,
      html('span', { class: 'note' }, `${count}${used} used, ${free} free`),
    ),
    isList ? pinList(connector, host) : pinGrid(connector, host),
  );
}

const keyOf = ({ name: connector }: ConnectorView, { name }: PinView): string => `${connector} ${name}`;

/** The state of a pin in words, so that colour is not its only sign. */
const STATES: Readonly<Record<PinView['state'], string>> = {
  used: '',
  free: 'free',
  own: '',
  undescribed: 'not described',
  unknown: 'not in the controller file',
};

function pinGrid(connector: ConnectorView, host: Host): HTMLElement {
  const cells = connector.pins.map((pin) => pinCell(connector, pin, host));
  const grid = html(
    'div',
    { class: 'pins', role: 'listbox', 'aria-label': `Pins of ${connector.name || 'the controller'}` },
    ...cells,
  );
  roving(grid, () => rowsOf(cells));
  const stop = cells.find((cell) => cell.getAttribute('aria-selected') === 'true') ?? cells[0];
  if (stop) stopAt(grid, stop);
  return grid;
}

/** The cells in rows, as wrapped by the width of the panel. */
function rowsOf(cells: readonly HTMLElement[]): HTMLElement[][] {
  const rows = new Map<number, HTMLElement[]>();
  for (const cell of cells) rows.set(cell.offsetTop, [...(rows.get(cell.offsetTop) ?? []), cell]);
  return [...rows.values()];
}

function pinCell(connector: ConnectorView, pin: PinView, host: Host): HTMLElement {
  const key = keyOf(connector, pin);
  const { name, state, role, users, faults } = pin;
  const who = users.map(({ text }) => text).join(', ');
  const severity = severityOf(pin);
  const cell = html(
    'div',
    {
      role: 'option',
      class: `pin ${state}${severity ? ` faulty ${severity}` : ''}`,
      tabindex: -1,
      'aria-selected': String(host.choices.pin === key),
      'data-key': key,
    },
    // Blanks separate the parts for who hears them.
    html('span', { class: 'number' }, name, ' '),
    ...(severity ? [html('span', { class: 'mark' }, `▲ ${severity} `)] : []),
    html('span', { class: 'user' }, ...usersText(pin), ' '),
    html('span', { class: 'role' }, who || state === 'free' ? role : ''),
    ...faults.map(({ message }) => html('span', { class: 'spoken' }, ` ${message}`)),
  );
  cell.addEventListener('click', () => host.choose({ pin: key }));
  return cell;
}

function usersText({ users, state, role }: PinView): (Node | string)[] {
  if (users.length === 0) return [STATES[state] || role];
  return users.flatMap(({ text }, i) => [...(i === 0 ? [] : [', ']), ...breakable(text)]);
}

const SEVERITIES = ['error', 'warning', 'information', 'hint'] as const;

/** The highest severity of a pin's findings. */
const severityOf = ({ faults }: PinView): (typeof SEVERITIES)[number] | undefined =>
  SEVERITIES.find((severity) => faults.some((fault) => fault.severity === severity));

function pinList(connector: ConnectorView, host: Host): HTMLElement {
  const heads = ['Pin', 'Used by', 'Role', 'Limits', 'Findings'];
  const rows = connector.pins.map((pin) =>
    html(
      'tr',
      { class: `${pin.state}${pin.faults.length > 0 ? ' faulty' : ''}` },
      html('th', { scope: 'row' }, linkTo({ text: pin.name, place: pin.place }, host.go)),
      html('td', {}, ...usersOf(pin, host)),
      html('td', {}, pin.role),
      html('td', {}, pin.limits.join(', ')),
      html('td', {}, ...pin.faults.map(faultLine)),
    ),
  );
  return html(
    'table',
    { class: 'list' },
    html('thead', {}, html('tr', {}, ...heads.map((head) => html('th', { scope: 'col' }, head)))),
    html('tbody', {}, ...rows),
  );
}

function usersOf({ users, state }: PinView, host: Host): (HTMLElement | string)[] {
  if (users.length === 0) return [STATES[state] || '–'];
  const links = users.flatMap((user) => [', ', linkTo(user, host.go)]).slice(1);
  return state === 'unknown' ? [...links, ` (${STATES.unknown})`] : links;
}

function faultLine({ severity, message, check }: PinView['faults'][number]): HTMLElement {
  return html('p', { class: `fault ${severity}` }, `▲ ${severity}: ${message} (${check})`);
}

const UNUSED: Readonly<Record<PinView['state'], string>> = {
  ...STATES,
  free: 'Not used.',
  own: 'Used by the controller itself.',
  undescribed: 'Not used, and not described in the controller file.',
};

/** Details of the selected pin; undefined if none is selected. */
export function pinDetails({ plan }: InstallationView, host: Host): HTMLElement[] | undefined {
  for (const connector of plan.connectors) {
    const pin = connector.pins.find((one) => keyOf(connector, one) === host.choices.pin);
    if (!pin) continue;
    const { name, state, place, role, limits, users, faults } = pin;
    const what = [role, ...limits].filter((text) => text !== '').join(', ');
    const title = connector.kind === 'harness' ? `${connector.name} ${name}` : `Pin ${name}`;
    return [
      html('h2', {}, title),
      html('p', {}, ...(users.length > 0 ? ['Used by ', ...usersOf(pin, host), '.'] : [UNUSED[state]])),
      html(
        'p',
        {},
        what,
        ...(place ? [what === '' ? '' : ' – ', linkTo({ text: place.name, place }, host.go)] : []),
      ),
      ...faults.map(faultLine),
    ];
  }
  return undefined;
}
