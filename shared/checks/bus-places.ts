import type { BusMessage } from '../../generated/configuration.ts';
import { nodeOf } from '../configuration/values.ts';
import { counted } from '../counted.ts';
import { MAX_DATA } from '../derived/bus.ts';
import {
  areFree,
  dataBits,
  isFloat,
  messagesOf,
  type NamedMessage,
  occupancyOf,
  type PlacedSignal,
  placedSignals,
  signalsOf,
} from '../derived/bus-signals.ts';
import { maximumOf } from '../extremes.ts';
import { largestFloat, nextFreeStart, sharedBits, signalFits } from '../physics/bus-signal.ts';
import { replace } from '../source/edit.ts';
import { type Check, engineCheck, type Fix, type Found } from './check.ts';
import { checkEach } from './each.ts';
import { dataText, listed } from './words.ts';

/** Moves a signal to free bits, if the message has enough. */
function moveToFreeBits(message: BusMessage, moved: PlacedSignal): Fix[] {
  const room = Math.floor(Math.min(dataBits(message) ?? MAX_DATA, MAX_DATA));
  const start = nextFreeStart(moved.place, (bits) => areFree(message, bits, moved.signal), room);
  if (start === undefined) return [];
  return [
    {
      title: `Move \`${moved.name}\` to the next free bits, \`start_bit: ${start}\``,
      safety: 'choice',
      edits: [replace(moved.signal.start_bit!.node, String(start))],
    },
  ];
}

/** `bit 5`, `bits 5 and 6`, `bits 5 to 9`, for ascending positions. */
function bitsText(positions: readonly number[]): string {
  const [first, last] = [positions[0], positions.at(-1)];
  if (positions.length === 1) return `bit ${first}`;
  const isRun = last! - first! === positions.length - 1;
  return positions.length > 2 && isRun ? `bits ${first} to ${last}` : `bits ${listed(positions.map(String))}`;
}

export const busSignalOverlap: Check = engineCheck({
  id: 'bus-signal-overlap',
  severity: 'error',
  title: 'Overlapping signals',
  page: {
    catches:
      'A signal that shares bits with another signal of the same message, each placed by its own byte order. A signal that overlaps several others is reported as one finding if those do not overlap each other.',
    why: 'The bits carry the value that is written last. The other signal shows a wrong number, and the pilot cannot see that it is wrong.',
    example:
      'signals:\n  engine_speed: { start_bit: 0, bits: 16, scale: 0.25 rpm }\n  oil_temperature: { start_bit: 8, bits: 8, scale: 1 K, offset: -40 °C }',
    remedy:
      'Move one of the signals. With byte order `little` the start bit is the least significant bit, with `big` the most significant.',
    basis: 'The bit numbering that the schema states for `start_bit`.',
  },
  *find({ installation: { configuration } }) {
    yield* overlapsEach(messagesOf(configuration), undefined);
  },
});

/** The maximum number of overlapping signals that the text of a finding names. */
const MOST_NAMED = 7;

const overlapsEach = checkEach(function* ({ message }: NamedMessage): Iterable<Found> {
  const bits = placedSignals(message).flatMap(({ positions }) => positions);
  if (new Set(bits).size === bits.length) return;
  const { signals, claims } = occupancyOf(message);
  const order = new Map(signals.map((one, i) => [one, i]));
  for (const [one, own] of order) {
    const all = new Set(one.positions.flatMap((position) => claims.get(position)!));
    const earlier = [...all].filter((other) => order.get(other)! < own);
    if (earlier.length === 0) continue;
    const first = earlier.sort((a, b) => order.get(a)! - order.get(b)!).slice(0, MOST_NAMED);
    const overlaps = first.map((other) => ({ other, positions: sharedBits(one.place, other.place) }));
    const shared = overlaps.map(({ other, positions }) => `${bitsText(positions)} of \`${other.name}\``);
    if (earlier.length > MOST_NAMED) shared.push('bits of others');
    yield {
      at: one.signal.start_bit!.node,
      message: `\`${one.name}\` overlaps ${listed(shared)}.`,
      related: overlaps.map(({ other }) => ({
        at: other.signal.start_bit!.node,
        message: `The start bit of \`${other.name}\`.`,
      })),
      cause: earlier.length === 1 ? nodeOf(earlier[0]!.signal) : undefined,
      fixes: moveToFreeBits(message, one),
    };
  }
});

export const busSignalOutsideMessage: Check = engineCheck({
  id: 'bus-signal-outside-message',
  severity: 'error',
  title: 'Signal outside its message',
  page: {
    catches:
      'A signal with bits after the last byte of its message. All such signals of one message are reported as one finding.',
    why: 'Those bits are never sent, so the receiver gets a wrong number.',
    example:
      'length: 4 byte\nsignals:\n  engine_speed: { start_bit: 24, bits: 16, scale: 0.25 rpm }   # ends at bit 39',
    remedy:
      'Lengthen the message, up to 8 bytes, or move the signal. A big-endian signal runs down from its start bit to bit 0 of that byte, then on from bit 7 of the next byte.',
    basis: 'The bit numbering that the schema states for `start_bit`.',
  },
  *find({ installation: { configuration } }) {
    yield* outsideEach(messagesOf(configuration), undefined);
  },
});

const outsideEach = checkEach(function* ({ message }: NamedMessage): Iterable<Found> {
  const data = dataBits(message);
  if (!message.length || data === undefined) return;
  const outside = placedSignals(message).filter((one) => !signalFits(one.place, data));
  // A single signal outside may itself be wrong; if there are several, the length of the message is at fault.
  const cause = outside.length === 1 ? nodeOf(outside[0]!.signal) : message.length.node;
  const bytes = new Map(outside.map((one) => [one, Math.floor(Math.max(...one.positions) / 8) + 1]));
  const most = maximumOf([...bytes.values()]);
  for (const [one, needed] of bytes) {
    const last = Math.max(...one.positions);
    const length = 8 * most <= MAX_DATA ? most : needed;
    const lengthen: Fix[] =
      8 * length > MAX_DATA
        ? []
        : [
            {
              title: `Change the length to ${counted(length, 'byte')}`,
              safety: 'choice',
              edits: [replace(message.length.node, `${length} byte`)],
            },
          ];
    yield {
      at: one.signal.start_bit!.node,
      message: `\`${one.name}\` extends to bit ${last} in byte ${needed}, but the message has only ${dataText(data)}.`,
      cause,
      related: [{ at: message.length.node, message: 'The length of the message.' }],
      fixes: [...lengthen, ...moveToFreeBits(message, one)],
    };
  }
});

export const busFloatBits: Check = engineCheck({
  id: 'bus-float-bits',
  severity: 'error',
  title: 'Invalid length of floating-point signal',
  page: {
    catches: 'A signal with `encoding: float` that has neither 32 nor 64 bits.',
    why: 'Only these lengths are defined; no display can decode another one.',
    example: 'engine_speed: { start_bit: 0, bits: 16, encoding: float, scale: 1 rpm }',
    remedy: 'Use 32 bits, or an integer with a scale.',
    basis: 'IEEE 754, binary32 and binary64.',
  },
  *find({ installation: { configuration } }) {
    for (const { message } of messagesOf(configuration)) {
      for (const { name, signal } of signalsOf(message)) {
        if (!isFloat(signal) || !signal.bits || largestFloat(signal.bits.canonical) !== undefined) continue;
        yield {
          at: signal.bits.node,
          message: `\`${name}\` is a floating-point number of ${signal.bits.canonical} bits; it must have 32 or 64.`,
          fixes: [{ title: 'Change to 32 bits', safety: 'choice', edits: [replace(signal.bits.node, '32')] }],
        };
      }
    }
  },
});
