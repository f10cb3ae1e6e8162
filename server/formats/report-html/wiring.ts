import type { Installation } from '../../../shared/configuration/installation.ts';
import { pinPlan } from '../../../shared/configuration/pin-plan.ts';
import { circuitsOf } from '../../../shared/derived/circuits.ts';
import type { FileValue } from '../../../shared/derived/derivation.ts';
import {
  type Conductor,
  harnessWires,
  wireProtector,
  wireResistance,
  wireVoltageDrop,
} from '../../../shared/derived/wiring.ts';
import type { Node } from '../../../shared/source/tree.ts';
import { effectTexts, lostText } from '../../fault-words.ts';
import { type Html, html, prose } from '../../html.ts';
import { resultsIn } from '../derive-report.ts';
import type { ChapterMaker, Dossier } from './dossier.ts';
import { writtenText } from './written.ts';

/**
 * Every pin of the controller with its connections, and pins that are used but do not exist.
 */
export const pinsChapter: ChapterMaker = ({ analysis: { installation } }) => {
  const body = pinTable(installation);
  return body && { id: 'pins', title: 'Pin plan', body };
};

/** What the standby controller is connected to, and what is left when it runs the engine. */
export const standbyChapter: ChapterMaker = ({ analysis: { installation }, faults }) => {
  const { standby, configuration } = installation;
  if (!standby || !configuration.standby) return undefined;
  const { changes_over: over, selector } = configuration.standby;
  const lost = faults.find(({ of }) => of === 'controller');
  const how = selector ? html`${writtenText(over)} (${writtenText(selector)})` : writtenText(over);
  const effects = lost ? effectTexts(lost).map((text) => html`<li>${text}</li>`) : [];
  const body = html`<p>Changes over: ${how}.</p>${pinTable(standby)}
${lost && html`<p>When the first controller is lost: ${prose(lost.reasons.join(' '))} Lost: ${lostText(lost)}.</p><ul>${effects}</ul>`}`;
  return { id: 'standby', title: 'Standby controller', body };
};

function pinTable(installation: Installation): Html | undefined {
  const { controller, configuration } = installation;
  const plan = pinPlan(configuration, controller);
  const pins = plan.connectors
    .flatMap((connector) => connector.pins)
    .filter(({ pin, uses }) => pin || uses.length > 0);
  if (pins.length === 0) return undefined;
  const rows = pins.map(({ name, pin, uses }) => {
    const limits = Object.entries(pin ?? {}).flatMap(([key, value]) =>
      key === 'role' || !value ? [] : `${key.replaceAll('_', ' ')} ${writtenText(value)}`,
    );
    const role = pin ? writtenText(pin.role) : controller ? 'pin does not exist' : '';
    const used = uses.map(({ label }) => label).join(', ');
    return html`<tr><th scope="row">${name}</th><td>${used || '–'}</td><td>${role}</td>
<td>${limits.join(', ')}</td></tr>\n`;
  });
  const open = plan.open.map(({ label }) => label);
  const named = controller && html`Controller: <q>${writtenText(controller.name)}</q>.`;
  const body = html`<p>${named ?? 'No readable controller file.'}</p>
<table class="list"><thead><tr><th scope="col">Pin</th><th scope="col">Connected</th><th scope="col">Role</th>
<th scope="col">Ratings</th></tr></thead><tbody>${rows}</tbody></table>
${open.length > 0 ? html`<p>Not connected to a pin: ${open.join(', ')}.</p>` : undefined}`;
  return body;
}

interface WireRow {
  /** The columns before the gauge. */
  readonly cells: readonly string[];
  readonly wire: Conductor;
}

/** Every conductor of the harness with its keys and derived values. */
export const wiresChapter: ChapterMaker = (dossier) => {
  const { configuration } = dossier.analysis.installation;
  const ofConnectors = harnessWires(configuration).map(({ connector, position, wire }): WireRow => {
    return { cells: [connector, position, writtenText(wire.circuit)], wire };
  });
  const ofCircuits = circuitsOf(configuration).map(({ name, circuit, ends }): WireRow => {
    const [from = '', ...to] = ends.map(({ text }) => text);
    return { cells: [name, from, to.join(', ')], wire: circuit };
  });
  const tables = [
    [['Connector', 'Position', 'Circuit'], ofConnectors],
    [['Circuit', 'From', 'To'], ofCircuits],
  ] as const;
  const filled = tables.filter(([, rows]) => rows.length > 0);
  if (filled.length === 0) return undefined;
  const body = filled.map(([heads, rows]) => wireTable(dossier, heads, rows));
  return { id: 'wires', title: 'Wire list', body: html`${body}${supplyText(dossier)}` };
};

function wireTable(dossier: Dossier, heads: readonly string[], wires: readonly WireRow[]): Html {
  const [protector, resistance, drop] = [
    derivedColumn(
      dossier,
      wireProtector,
      wires.map(({ wire }) => (wire.fuse ?? wire.breaker)?.node),
    ),
    derivedColumn(
      dossier,
      wireResistance,
      wires.map(({ wire }) => wire.length?.node),
    ),
    derivedColumn(
      dossier,
      wireVoltageDrop,
      wires.map(({ wire }) => wire.current?.node),
    ),
  ];
  const rows = wires.map(
    ({ cells: [first, ...others], wire }, i) => html`<tr><th scope="row">${first}</th>${others.map(
      (cell) => html`<td>${cell}</td>`,
    )}
<td>${writtenText(wire.gauge)}</td><td>${writtenText(wire.length)}</td>
<td>${writtenText(wire.current)}</td><td>${writtenText(wire.fuse ?? wire.breaker)}</td>
<td>${protector![i]}</td><td>${resistance![i]}</td><td>${drop![i]}</td></tr>\n`,
  );
  const values = ['Gauge', 'Length', 'Current', 'Fuse or breaker', 'Largest'];
  const titles = [...heads, ...values, 'Warm resistance', 'Voltage drop'];
  return html`<div class="wide"><table class="list wires"><thead><tr>${titles.map(
    (title) => html`<th scope="col">${title}</th>`,
  )}</tr></thead><tbody>${rows}</tbody></table></div>`;
}

function supplyText({ analysis: { installation } }: Dossier): Html | undefined {
  const supply = installation.configuration.harness?.supply;
  if (!supply) return undefined;
  const parts = Object.entries(supply).map(
    ([key, value]) => `${key.replaceAll('_', ' ')} ${writtenText(value)}`,
  );
  return html`<p>Supply: ${parts.join(', ')}.</p>`;
}

/** The values derived at places, as texts with the same count of decimals; empty where there is none. */
function derivedColumn(
  { analysis: { derivation } }: Dossier,
  definition: FileValue,
  nodes: readonly (Node | undefined)[],
): string[] {
  const values = nodes.map((node) => derivation.at(definition, node));
  const resultOf = resultsIn(values.filter((value) => value !== undefined));
  return values.map((value) => (value ? resultOf(value) : ''));
}
