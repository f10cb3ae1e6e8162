import * as canaerospace from './canaerospace.ts';
import type { Coding } from './convention.ts';
import * as j1939 from './j1939.ts';

/** A quantity that the controller can send. */
export interface Sendable {
  /** As the file names it: `exhaust_gas_temperature[1]`. */
  readonly name: string;
  /** Without the number in brackets. */
  readonly quantity: string;
  /** The pressure reference of its sensor, for a convention that states none. */
  readonly reference?: 'abs' | 'gauge' | undefined;
}

/** A message as an engine file defines it. */
export interface StarterMessage {
  readonly name: string;
  readonly id: number;
  /** What the convention calls it: `CANaerospace 500`. */
  readonly title: string;
  /** The lines of YAML below its name. */
  readonly lines: readonly string[];
}

/**
 * The messages in which a convention sends the given quantities; those that it does not have are left out. `blank` stands for what
 * the convention leaves open.
 */
export function starterMessages(
  convention: 'canaerospace' | 'j1939',
  sendables: readonly Sendable[],
  blank: string,
): StarterMessage[] {
  // A convention has one parameter for a quantity of several cylinders.
  const first = new Map<string, Sendable>();
  for (const one of sendables) if (!first.has(one.quantity)) first.set(one.quantity, one);
  return convention === 'canaerospace' ? engineData(first) : engineGroups(first, blank);
}

function engineData(sendables: ReadonlyMap<string, Sendable>): StarterMessage[] {
  const { every, node } = canaerospace.exampleSchedule;
  const messages = [...sendables.values()].flatMap((sendable): StarterMessage[] => {
    const id = canaerospace.identifierFor(sendable.quantity);
    const coding = id === undefined ? undefined : canaerospace.publishedAs(id)?.parameters[0]?.codings[0];
    if (id === undefined || !coding?.type) return [];
    const lines = [
      `id: ${id}`,
      'length: 8 byte',
      `every: ${every}`,
      `header: { node_id: ${node}, type: ${coding.type} }`,
      'signals:',
      `  ${signalLine(sendable, coding)}`,
    ];
    return [{ name: sendable.quantity, id, title: `CANaerospace ${id}`, lines }];
  });
  return messages.sort((a, b) => a.id - b.id);
}

function engineGroups(sendables: ReadonlyMap<string, Sendable>, blank: string): StarterMessage[] {
  return [...j1939.groups].flatMap(([pgn, group]): StarterMessage[] => {
    const signals = j1939.publishedIn(pgn)!.parameters.flatMap(({ quantity, codings }) => {
      const sendable = quantity === undefined ? undefined : sendables.get(quantity);
      return sendable && codings[0] ? [`  ${signalLine(sendable, codings[0])}`] : [];
    });
    if (signals.length === 0) return [];
    const id = j1939.identifierOf(pgn);
    const text = `0x${id.toString(16).toUpperCase().padStart(8, '0')}`;
    const lines = [
      `id: ${text}`,
      'extended: true',
      `length: ${j1939.GROUP_BYTES} byte`,
      `every: ${blank}`,
      'signals:',
      ...signals,
    ];
    const name = group.toLowerCase().replace(/[^a-z0-9]+/g, '_');
    return [{ name, id, title: `J1939 ${group}, group ${pgn}`, lines }];
  });
}

/** `engine_speed: { start_bit: 39, bits: 32, … }` */
function signalLine({ name, reference }: Sendable, coding: Coding): string {
  const { startBit, bits, byteOrder, signed, isFloat, scale, offset } = coding;
  const isOpenPressure = /^0 \w*(?:Pa|bar)$/.test(offset);
  const keys = [
    `start_bit: ${startBit}`,
    `bits: ${bits}`,
    `byte_order: ${byteOrder}`,
    ...(isFloat ? ['encoding: float'] : [`signed: ${signed}`]),
    `scale: ${scale}`,
    `offset: ${offset}${isOpenPressure && reference ? ` ${reference}` : ''}`,
  ];
  return `${/^\w+$/.test(name) ? name : JSON.stringify(name)}: { ${keys.join(', ')} }`;
}
