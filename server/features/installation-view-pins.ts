import type { Pin, Wire } from '../../generated/configuration.ts';
import type { Analysis } from '../../shared/analysis.ts';
import type { Installation } from '../../shared/configuration/installation.ts';
import { countOf, harnessPositions, type PlannedPin, pinPlan } from '../../shared/configuration/pin-plan.ts';
import type { PinRole } from '../../shared/configuration/pins.ts';
import { nodeOf } from '../../shared/configuration/values.ts';
import { circuitsOf, type NamedCircuit } from '../../shared/derived/circuits.ts';
import { groupedBy } from '../../shared/grouped-by.ts';
import { firstAt } from '../../shared/source/change.ts';
import { offsetsOf } from '../../shared/source/source-file.ts';
import type { Node } from '../../shared/source/tree.ts';
import { writtenText } from '../formats/report-html/written.ts';
import { plainText } from '../plain-text.ts';
import type { Settings } from '../settings.ts';
import type { PlaceOf } from './installation-view-places.ts';
import type { ConnectorView, FaultView, PinView, PlanView } from './installation-view-types.ts';
import { pinProperty } from './pin-words.ts';

/** Finds the findings at a node, and those that refer to it. */
type FaultsAt = (...nodes: readonly (Node | undefined)[]) => FaultView[];

/** The connectors of the controller and of the harness, with every pin. */
export function planView(
  analysis: Analysis,
  installation: Installation,
  severities: Settings['severities'],
  placeOf: PlaceOf,
): PlanView {
  const { configuration, controller } = installation;
  const { connectors, open } = pinPlan(configuration, controller);
  const faultsAt = faultsIn(analysis, severities);
  return {
    controller: controller
      ? { text: writtenText(controller.name) || 'Controller', place: placeOf(configuration.controller?.node) }
      : null,
    connectors: [
      ...connectors.map(({ name, positions, pins }) => ({
        name,
        kind: 'controller' as const,
        positions: positions ?? null,
        pins: pins.map((pin) => pinView(pin, controller !== undefined, placeOf, faultsAt)),
      })),
      ...harnessConnectors(installation, placeOf, faultsAt),
    ],
    open: open.map(({ label, node }) => ({ text: label, place: placeOf(node) })),
  };
}

function pinView(
  { name, position, pin, uses }: PlannedPin,
  hasController: boolean,
  placeOf: PlaceOf,
  faultsAt: FaultsAt,
): PinView {
  return {
    name,
    position: position ?? null,
    state: stateOf(pin, uses.length > 0, hasController),
    role: pin?.role?.text ?? '',
    limits: limitsOf(pin),
    place: pin ? placeOf(nodeOf(pin)) : null,
    users: uses.map((use) => ({ text: use.label, place: placeOf(use.pin.node) })),
    faults: faultsAt(pin && nodeOf(pin), ...uses.map((use) => use.pin.node)),
  };
}

/** The controller's own connections, which no sensor or load uses. */
const OWN: ReadonlySet<string | undefined> = new Set<PinRole>(['bus', 'supply', 'ground']);

function stateOf(pin: Pin | undefined, isUsed: boolean, hasController: boolean): PinView['state'] {
  if (isUsed) return pin || !hasController ? 'used' : 'unknown';
  if (!pin) return 'undescribed';
  return OWN.has(pin.role?.text) ? 'own' : 'free';
}

/** `range 0..5 V` */
function limitsOf(section: Pin | Omit<Wire, 'circuit'> | undefined): string[] {
  return Object.entries(section ?? {}).flatMap(([key, value]) =>
    key === 'role' || !value ? [] : [`${pinProperty(key)} ${writtenText(value)}`],
  );
}

function harnessConnectors(
  { configuration }: Installation,
  placeOf: PlaceOf,
  faultsAt: FaultsAt,
): ConnectorView[] {
  const circuitAt = new Map(
    circuitsOf(configuration).flatMap((one) =>
      [...one.ends, ...one.via].map(({ text }) => [text, one] as const),
    ),
  );
  return Object.entries(configuration.harness?.connectors ?? {}).map(([name, connector]) => {
    const { positions, wires } = connector;
    const pins = harnessPositions(name, connector, circuitAt.keys()).map((contact) => {
      const circuit = circuitAt.get(`${name}.${contact}`);
      return circuit && !wires?.[contact]
        ? circuitView(contact, circuit, placeOf, faultsAt)
        : wireView(contact, wires?.[contact], placeOf, faultsAt);
    });
    return { name, kind: 'harness', positions: countOf(positions?.canonical) ?? null, pins };
  });
}

const numberOf = (position: string): number | null => (/^\d+$/.test(position) ? Number(position) : null);

function circuitView(
  name: string,
  { name: circuit, circuit: carried, ends }: NamedCircuit,
  placeOf: PlaceOf,
  faultsAt: FaultsAt,
): PinView {
  const node = nodeOf(carried);
  const { gauge, colour, length } = carried;
  return {
    ...{ name, position: numberOf(name), state: 'used', role: '' },
    limits: [
      ends.map(({ text }) => text).join(' – '),
      ...[gauge, colour, length].map(writtenText).filter(Boolean),
    ],
    place: placeOf(node),
    users: [{ text: circuit, place: placeOf(node) }],
    faults: faultsAt(node),
  };
}

function wireView(name: string, wire: Wire | undefined, placeOf: PlaceOf, faultsAt: FaultsAt): PinView {
  const node = wire && nodeOf(wire);
  const { circuit, ...carried } = wire ?? {};
  return {
    name,
    position: numberOf(name),
    state: wire ? 'used' : 'free',
    role: '',
    limits: limitsOf(carried),
    place: placeOf(node),
    users: wire ? [{ text: writtenText(circuit) || 'Wire', place: placeOf(node) }] : [],
    faults: faultsAt(node),
  };
}

function faultsIn({ findings, files }: Analysis, severities: Settings['severities']): FaultsAt {
  const byPath = new Map(files.map((file) => [file.path, file]));
  const places = findings.flatMap((finding, index) =>
    [finding.writtenAt ?? finding, ...finding.related].map(({ file, start, end }) => ({
      file,
      start,
      end,
      index,
    })),
  );
  // Sorted, so that only the places that start inside a node are visited.
  const placesIn = groupedBy(
    places.sort((a, b) => a.start - b.start),
    ({ file }) => file,
  );
  const startsIn = new Map(
    [...placesIn].map(([file, there]) => [file, Int32Array.from(there, ({ start }) => start)]),
  );
  return (...nodes) => {
    const inside = new Set<number>();
    for (const node of nodes) {
      const file = node && byPath.get(node.chunk.file);
      if (!file?.chunks.has(node!.chunk)) continue;
      const { start, end } = offsetsOf(file, node!);
      const [there, starts] = [placesIn.get(file.path), startsIn.get(file.path)];
      if (!there || !starts) continue;
      for (let i = firstAt(starts, start); i < there.length && starts[i]! <= end; i++) {
        if (there[i]!.end <= end) inside.add(there[i]!.index);
      }
    }
    return [...inside]
      .sort((a, b) => a - b)
      .map((index) => {
        const { rule, severity, message } = findings[index]!;
        return { check: rule, severity: severities.get(rule) ?? severity, message: plainText(message) };
      });
  };
}
