import type { EngineConfiguration } from '../../generated/configuration.ts';
import { byPin } from '../configuration/pin-plan.ts';
import { endNumberStart } from '../configuration/pins.ts';
import { pinOfEnd, standbyPinOfEnd, terminalsOf } from '../configuration/terminals.ts';
import type { NamedCircuit } from '../derived/circuits.ts';

export type BoxKind = 'controller' | 'aircraft' | 'connector' | 'splice' | 'part';

/** A place in a box to which one circuit is connected. */
export interface Row {
  readonly circuit: string;
  /** The pin, position or terminal; empty in a splice. */
  readonly label: string;
  /** The name of the circuit, at the end where a reader looks for it. */
  readonly note: string;
}

/** What is drawn as a box: a connector of the controller or of the harness, a splice, a sensor, a load, a device. */
export interface Box {
  readonly id: string;
  readonly kind: BoxKind;
  readonly title: string;
  readonly rows: Row[];
}

/** A row of a box. */
export interface Port {
  readonly box: Box;
  readonly row: Row;
}

/** A piece of a circuit between two boxes. */
export interface Edge {
  readonly circuit: string;
  readonly from: Port;
  readonly to: Port;
}

export interface Graph {
  readonly boxes: readonly Box[];
  readonly edges: readonly Edge[];
}

/** The boxes and connections of some circuits of a harness. Ends that do not exist are drawn as they are written. */
export function harnessGraph(configuration: EngineConfiguration, circuits: readonly NamedCircuit[]): Graph {
  const boxes = new Map<string, Box>();
  const port = (place: Place, circuit: string, label: string, note: string): Port => {
    const box: Box = boxes.get(place.id) ?? { ...place, rows: [] };
    boxes.set(place.id, box);
    const known = box.rows.find((row) => row.circuit === circuit && row.label === label);
    const row = known ?? { circuit, label, note };
    if (!known) box.rows.push(row);
    return { box, row };
  };
  const edges = circuits.flatMap(({ name, ends, via }): Edge[] => {
    // A circuit between parts and connectors of the harness has its name at the first of them.
    const isNamed = ends.some(({ text }) => hasNotes(placeOfEnd(text)));
    const ports = ends.map(({ text }, i) => {
      const place = placeOfEnd(text);
      const hasNote = hasNotes(place) || (!isNamed && i === 0);
      return port(place, name, labelOf(text, place.kind), hasNote ? name : '');
    });
    const positions = via.map(({ text }) => port(connectorAt(text), name, lastOf(text), ''));
    const [first, ...others] = ports;
    const trunk = [first!, ...positions];
    const pieces = trunk.slice(1).map((to, i) => ({ circuit: name, from: trunk[i]!, to }));
    return [...pieces, ...others.map((to) => ({ circuit: name, from: trunk.at(-1)!, to }))];
  });
  const order = new Map(terminalsOf(configuration).map(({ path }, i) => [path, i]));
  for (const { id, kind, rows } of boxes.values()) {
    if (kind === 'part')
      rows.sort((a, b) => (order.get(`${id}.${a.label}`) ?? 0) - (order.get(`${id}.${b.label}`) ?? 0));
    else if (kind !== 'splice') rows.sort((a, b) => byPin(a.label, b.label));
  }
  return { boxes: [...boxes.values()], edges: edges.filter(({ from, to }) => from.row !== to.row) };
}

type Place = Omit<Box, 'rows'>;

/** Whether a reader looks there for the names of circuits. */
const hasNotes = ({ kind }: Place): boolean => kind !== 'part' && kind !== 'connector';

function placeOfEnd(end: string): Place {
  if (end === 'supply' || end === 'ground') return { id: 'aircraft', kind: 'aircraft', title: 'Aircraft' };
  const pins = pinsAtEnd(end);
  if (pins) {
    const { controller, connector } = pins;
    const words = controller === 'standby' ? 'Standby' : 'Controller';
    const title = connector === '' ? words : `${words} ${connector}`;
    return { id: `${controller}.${connector}`, kind: 'controller', title };
  }
  if (end.startsWith('splices.')) return { id: end, kind: 'splice', title: end.slice('splices.'.length) };
  const [section = '', owner = ''] = end.split('.');
  if (!['sensors', 'inputs', 'outputs', 'devices'].includes(section)) return connectorAt(end);
  // With its section: an output and a device may have one name.
  const id = `${section}.${owner}`;
  return { id, kind: 'part', title: id };
}

/** A connector of one of the two controllers; without a name if that is not part of the names of its pins. */
export interface PinConnector {
  readonly controller: 'controller' | 'standby';
  readonly connector: string;
  /** The pin at which a circuit ends. */
  readonly pin: string;
}

/** `standby.S23` → the connector S of the standby controller; undefined for an end that is no pin. */
export function pinsAtEnd(end: string): PinConnector | undefined {
  const pin = pinOfEnd(end);
  const second = standbyPinOfEnd(end);
  const name = pin ?? second;
  if (name === undefined) return undefined;
  const connector = name.slice(0, endNumberStart(name));
  return { controller: pin === undefined ? 'standby' : 'controller', connector, pin: name };
}

/** `bulkhead.12` → the box of `bulkhead` */
function connectorAt(position: string): Place {
  const name = position.slice(0, Math.max(0, position.lastIndexOf('.')));
  return { id: `connectors.${name}`, kind: 'connector', title: name };
}

const lastOf = (text: string): string => text.slice(text.lastIndexOf('.') + 1);

const labelOf = (end: string, kind: BoxKind): string => (kind === 'splice' ? '' : lastOf(end));
