import type {
  ConnectorView,
  InstallationView,
  PinView,
} from '../../../server/features/installation-view-types.ts';
import { html } from '../../map-panel/view/element.ts';
import type { Host } from './choices.ts';
import { linkTo } from './link.ts';
import { roving, stopAt } from './roving.ts';

/** Every contact of the controller's connectors and of the harness, with what is connected to it. */
export function pinsPage({ plan }: InstallationView, host: Host): HTMLElement[] {
  const { controller, connectors, open } = plan;
  const named = controller
    ? html('p', { class: 'note' }, 'Controller: ', linkTo(controller, host.go), '. ', KEY)
    : html(
        'p',
        { class: 'note' },
        'There is no controller file that can be read, so only what is used is known. ',
        KEY,
      );
  const without = open.flatMap((link, i) => [i === 0 ? ' ' : ', ', linkTo(link, host.go)]);
  return [
    named,
    html('p', { class: 'choice' }, listChoice(host)),
    ...connectors.map((connector) => connectorPart(connector, host)),
    ...(open.length > 0 ? [html('p', { class: 'fault' }, '▲ Without a pin:', ...without, '.')] : []),
  ];
}

const KEY = 'Contacts stand in the order of their numbers; the real connector may be laid out otherwise.';

function listChoice(host: Host): HTMLElement {
  const { isPlanListed } = host.choices;
  const box = html('input', { type: 'checkbox', 'data-key': 'list', ...(isPlanListed && { checked: '' }) });
  box.addEventListener('change', () => host.choose({ isPlanListed: box.checked }));
  return html('label', {}, box, ' as lists');
}

function connectorPart(connector: ConnectorView, host: Host): HTMLElement {
  const { name, kind, positions, pins } = connector;
  const where = kind === 'harness' ? 'Harness connector' : name === '' ? 'Pins' : 'Connector';
  const used = pins.filter(({ users }) => users.length > 0).length;
  const free = pins.filter(({ state }) => state === 'free').length;
  const count = positions === null ? '' : `${positions} contacts, `;
  const isList = host.choices.isPlanListed || positions === null;
  return html(
    'section',
    { class: 'connector', 'aria-label': `${where} ${name}` },
    html(
      'h2',
      {},
      `${where} ${name.replaceAll('_', ' ')} `,
      html('span', { class: 'note' }, `${count}${used} used, ${free} free`),
    ),
    isList ? pinList(connector, host) : pinGrid(connector, host),
  );
}

const keyOf = ({ name: connector }: ConnectorView, { name }: PinView): string => `${connector} ${name}`;

/** What a contact is in a word, for it must not be told by colour alone. */
const STATES: Readonly<Record<PinView['state'], string>> = {
  used: '',
  free: 'free',
  own: '',
  undescribed: 'not described',
  unknown: 'unknown to the controller',
};

function pinGrid(connector: ConnectorView, host: Host): HTMLElement {
  const cells = connector.pins.map((pin) => pinCell(connector, pin, host));
  const grid = html(
    'div',
    { class: 'pins', role: 'listbox', 'aria-label': `Contacts of ${connector.name}` },
    ...cells,
  );
  roving(grid, () => rowsOf(cells));
  const stop = cells.find((cell) => cell.getAttribute('aria-selected') === 'true') ?? cells[0];
  if (stop) stopAt(grid, stop);
  return grid;
}

/** The cells as the width of the panel breaks them into rows. */
function rowsOf(cells: readonly HTMLElement[]): HTMLElement[][] {
  const rows = new Map<number, HTMLElement[]>();
  for (const cell of cells) rows.set(cell.offsetTop, [...(rows.get(cell.offsetTop) ?? []), cell]);
  return [...rows.values()];
}

function pinCell(connector: ConnectorView, pin: PinView, host: Host): HTMLElement {
  const key = keyOf(connector, pin);
  const { name, state, role, users, faults } = pin;
  const who = users.map(({ text }) => text.replaceAll('_', ' ')).join(', ');
  const worst = worstOf(pin);
  const cell = html(
    'div',
    {
      role: 'option',
      class: `pin ${state}${worst ? ` faulty ${worst}` : ''}`,
      tabindex: -1,
      'aria-selected': String(host.choices.pin === key),
      'aria-label': [name, who || STATES[state], role, ...faults.map(({ message }) => message)].join(', '),
      'data-key': key,
    },
    html('span', { class: 'number' }, name),
    ...(worst ? [html('span', { class: 'mark' }, `▲ ${worst}`)] : []),
    html('span', { class: 'user' }, who || STATES[state] || role),
    html('span', { class: 'role' }, who || state === 'free' ? role : ''),
  );
  cell.addEventListener('click', () => host.choose({ pin: key }));
  return cell;
}

const SEVERITIES = ['error', 'warning', 'information', 'hint'] as const;

const worstOf = ({ faults }: PinView): (typeof SEVERITIES)[number] | undefined =>
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
  free: 'Nothing uses it.',
  own: 'The controller itself needs it.',
  undescribed: 'Nothing uses it, and the controller file does not describe it.',
};

/** Everything that is known of the contact that was chosen; undefined where there is none. */
export function pinDetails({ plan }: InstallationView, host: Host): HTMLElement[] | undefined {
  for (const connector of plan.connectors) {
    const pin = connector.pins.find((one) => keyOf(connector, one) === host.choices.pin);
    if (!pin) continue;
    const { name, state, place, role, limits, users, faults } = pin;
    const what = [role, ...limits].filter((text) => text !== '').join(', ');
    const title =
      connector.kind === 'harness' ? `${connector.name.replaceAll('_', ' ')} ${name}` : `Pin ${name}`;
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
