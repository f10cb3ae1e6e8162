import type { BusMessage } from '../../generated/configuration.ts';
import { MOST_DATA } from '../derived/bus.ts';
import {
  areFree,
  dataBits,
  messagesOf,
  type NamedMessage,
  occupancyOf,
  type PlacedSignal,
  placedSignals,
} from '../derived/bus-signals.ts';
import { nextFreeStart, sharedBits, signalFits } from '../physics/bus-signal.ts';
import { replace } from '../source/edit.ts';
import { type Check, engineCheck, type Fix, type Found } from './check.ts';
import { judgeEach } from './each.ts';
import { listed } from './words.ts';

/** Moves a signal to where it overlaps no other one; none where the message has no such place. */
function moveToFreeBits(message: BusMessage, moved: PlacedSignal): Fix[] {
  const room = Math.floor(Math.min(dataBits(message) ?? MOST_DATA, MOST_DATA));
  const start = nextFreeStart(moved.place, (bits) => areFree(message, bits, moved.signal), room);
  if (start === undefined) return [];
  return [
    {
      title: `Move \`${moved.name}\` to the next free bits, start_bit ${start}`,
      safety: 'choice',
      edits: [replace(moved.signal.start_bit!.node, String(start))],
    },
  ];
}

/** `bit 5`, `bits 5 and 6`, `bits 5 to 9`; positions rise. */
function bitsText(positions: readonly number[]): string {
  const [first, last] = [positions[0], positions.at(-1)];
  if (positions.length === 1) return `bit ${first}`;
  const isRun = last! - first! === positions.length - 1;
  return positions.length > 2 && isRun ? `bits ${first} to ${last}` : `bits ${listed(positions.map(String))}`;
}

export const busSignalOverlap: Check = engineCheck({
  id: 'bus-signal-overlap',
  severity: 'error',
  title: 'Two signals share bits',
  page: {
    catches: 'A signal that lies on bits of another one of the same message, each with its own byte order.',
    why: 'The bits carry what was written last. The other signal shows a wrong number, and nothing tells the pilot so.',
    example:
      'signals:\n  engine_speed: { start_bit: 0, bits: 16, scale: 0.25 rpm }\n  oil_temperature: { start_bit: 8, bits: 8, scale: 1 K, offset: -40 °C }',
    remedy:
      'Move one of them. Mind the byte order: with `little` the start bit is the least significant one, with `big` the most significant.',
    basis: 'The numbering of bits that the schema states for `start_bit`.',
  },
  *find({ installation: { configuration } }) {
    yield* overlapsEach(messagesOf(configuration), undefined);
  },
});

/** A frame has room for few signals; of one that lies on more others than that the rest says nothing new. */
const MOST_NAMED = 7;

const overlapsEach = judgeEach(function* ({ message }: NamedMessage): Iterable<Found> {
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
      message: `\`${one.name}\` lies on ${listed(shared)}.`,
      related: overlaps.map(({ other }) => ({
        at: other.signal.start_bit!.node,
        message: `\`${other.name}\` begins here.`,
      })),
      fixes: moveToFreeBits(message, one),
    };
  }
});

export const busSignalOutsideMessage: Check = engineCheck({
  id: 'bus-signal-outside-message',
  severity: 'error',
  title: 'A signal reaches over the end of its message',
  page: {
    catches: 'A signal with bits behind the last byte of its message.',
    why: 'Those bits are never sent, so the number that arrives is not the one that was meant.',
    example:
      'length: 4 byte\nsignals:\n  engine_speed: { start_bit: 24, bits: 16, scale: 0.25 rpm }   # ends at bit 39',
    remedy:
      'Lengthen the message, up to 8 byte, or move the signal. A big-endian signal goes on in the next byte: from its start bit down, then from bit 7 of the byte behind.',
    basis: 'The numbering of bits that the schema states for `start_bit`.',
  },
  *find({ installation: { configuration } }) {
    yield* outsideEach(messagesOf(configuration), undefined);
  },
});

const outsideEach = judgeEach(function* ({ message }: NamedMessage): Iterable<Found> {
  const data = dataBits(message);
  if (!message.length || data === undefined) return;
  for (const one of placedSignals(message)) {
    if (signalFits(one.place, data)) continue;
    const last = Math.max(...one.positions);
    const needed = Math.floor(last / 8) + 1;
    const lengthen: Fix[] =
      8 * needed > MOST_DATA
        ? []
        : [
            {
              title: `Lengthen the message to ${needed} byte`,
              safety: 'choice',
              edits: [replace(message.length.node, `${needed} byte`)],
            },
          ];
    yield {
      at: one.signal.start_bit!.node,
      message: `\`${one.name}\` reaches bit ${last}, into byte ${needed}; the message has ${message.length.node.text}.`,
      related: [{ at: message.length.node, message: 'The length of the message.' }],
      fixes: [...lengthen, ...moveToFreeBits(message, one)],
    };
  }
});
