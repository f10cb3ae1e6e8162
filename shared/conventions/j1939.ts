import type { Coding, Published } from './convention.ts';
import { parameterRows, type Row } from './j1939-parameters.ts';

/**
 * SAE J1939: identifiers (J1939-21) and parameters (J1939-71, in j1939-parameters.ts). Priorities, bit rates and the proprietary
 * groups are from memory.
 */

/** A classic group has 8 bytes of data. */
export const GROUP_BYTES = 8;

/** The usual bit rates of J1939-11, -14 and -15 (from memory), in bit/s. */
export const bitRates: readonly number[] = [250e3, 500e3];

/** The parts of a 29-bit identifier. */
export interface Identifier {
  readonly priority: number;
  /** Parameter group number, without the destination. */
  readonly pgn: number;
  readonly source: number;
  /** Undefined if the message is for all. */
  readonly destination: number | undefined;
}

/** Formats from 240 on are for all; the specific byte of lower ones is the destination. */
const FIRST_BROADCAST = 240;

/** Splits a 29-bit identifier: priority 3 bits, reserved and data page 2, format 8, specific 8, source 8. */
export function splitIdentifier(id: number): Identifier {
  const bits = (from: number, count: number) => Math.floor(id / 2 ** from) % 2 ** count;
  const [format, specific] = [bits(16, 8), bits(8, 8)];
  const isBroadcast = format >= FIRST_BROADCAST;
  return {
    priority: bits(26, 3),
    pgn: bits(24, 2) * 2 ** 16 + format * 2 ** 8 + (isBroadcast ? specific : 0),
    source: bits(0, 8),
    destination: isBroadcast ? undefined : specific,
  };
}

/** The identifier of a group for all from the first engine, whose address is 0. */
export const identifierOf = (pgn: number): number => priorityOf(pgn) * 2 ** 26 + pgn * 2 ** 8;

/** Proprietary A, to one destination, and B, for all (from memory): free for own data. */
export const isProprietary = (pgn: number): boolean => pgn === 0xef00 || (pgn >= 0xff00 && pgn <= 0xffff);

function codingOf([, , , , , byte, bits, scale, offset, unit]: Row): Coding {
  // A step of temperature is in K, a step of pressure has no reference.
  const step = `${scale} ${unit.replace('°C', 'K').replace(/ .*/, '')}`;
  const zero = `${offset} ${unit}`;
  const startBit = 8 * (byte - 1);
  return { startBit, bits, byteOrder: 'little', signed: false, isFloat: false, scale: step, offset: zero };
}

const published = new Map<number, Published>();
const groupNames = new Map<number, string>();
for (const row of parameterRows) {
  const [spn, name, quantity, group, pgn] = row;
  const others = published.get(pgn)?.parameters ?? [];
  const parameters = [...others, { name: `${name} (SPN ${spn})`, quantity, codings: [codingOf(row)] }];
  published.set(pgn, { title: `${group}, group ${pgn}`, parameters });
  groupNames.set(pgn, group);
}

/** What the standard sends in a group; undefined if this table does not have it. */
export const publishedIn = (pgn: number): Published | undefined => published.get(pgn);

/** The name of each group of the table, by its number. */
export const groups: ReadonlyMap<number, string> = groupNames;

/** The priority of the engine speed is 3, of the other groups 6 (from memory). */
export const priorityOf = (pgn: number): number => (pgn === 0xf004 || pgn === 0xf003 ? 3 : 6);
