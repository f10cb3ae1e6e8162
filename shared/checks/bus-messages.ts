import { nodeOf } from '../configuration/values.ts';
import { busLoad, busLoadWorstCase, MAX_DATA, responseTime, timedMessages } from '../derived/bus.ts';
import { dataBits, messagesOf, type NamedMessage, placeOf, signalsOf } from '../derived/bus-signals.ts';
import { valueText } from '../derived/value.ts';
import { groupedBy } from '../grouped-by.ts';
import { memo, memoMap } from '../memo.ts';
import { largestIdentifier } from '../physics/bus.ts';
import { signalFits } from '../physics/bus-signal.ts';
import { insertEntry, replace } from '../source/edit.ts';
import type { ScalarNode } from '../source/tree.ts';
import { type Check, engineCheck, type Fix, type Found } from './check.ts';
import { checkEach } from './each.ts';
import { passes } from './threshold.ts';
import { dataText, percent, percentBeside } from './words.ts';

const isExtended = ({ message }: NamedMessage): boolean => message.extended?.flag ?? false;

const largestOf = (one: NamedMessage): number =>
  isExtended(one) ? largestIdentifier.extended : largestIdentifier.base;

const bitsOf = (one: NamedMessage): string => (isExtended(one) ? '29-bit' : '11-bit');

/** An identifier in the notation of the file, hexadecimal or decimal. */
function spelled(id: number, like: ScalarNode): string {
  return /^0x/i.test(like.text) ? `0x${id.toString(16).toUpperCase()}` : String(id);
}

export const busIdDuplicate: Check = engineCheck({
  id: 'bus-id-duplicate',
  severity: 'error',
  title: 'Duplicate message identifier',
  page: {
    catches: 'Two messages with the same identifier. An 11-bit and a 29-bit identifier are always different.',
    why: 'A receiver distinguishes messages only by their identifiers: a display would decode engine speed as oil pressure. Two messages with that identifier sent at the same time corrupt each other.',
    example: 'messages:\n  fast: { id: 0x320, length: 8 byte }\n  slow: { id: 0x320, length: 8 byte }',
    remedy:
      'Give one of them another identifier. The lower identifier has priority, so use it for the more urgent message.',
    basis: 'ISO 11898-1: an identifier must be unique on the bus.',
  },
  *find({ installation: { configuration } }) {
    const messages = messagesOf(configuration);
    const repeated = repeatedIn(identifierOfEach(messages, undefined));
    if (repeated.length === 0) return;
    const taken = new Map(
      [...groupedBy(messages, bitsOf)].map(([bits, alike]) => [
        bits,
        new Set(alike.map(({ message }) => message.id?.canonical)),
      ]),
    );
    for (const [index, firstIndex] of repeated) {
      const [one, first] = [messages[index]!, messages[firstIndex]!];
      const { id } = one.message;
      if (!id || !first.message.id) continue;
      yield {
        at: id.node,
        message: `\`${one.name}\` has the same ${bitsOf(one)} identifier, ${id.node.text}, as \`${first.name}\`.`,
        related: [{ at: first.message.id.node, message: `The identifier of \`${first.name}\`.` }],
        fixes: freeIdentifier(one, id.node, id.canonical, taken.get(bitsOf(one))!),
      };
    }
  },
});

/** Equal for two messages that a receiver cannot distinguish; undefined without an identifier. */
const identifierOfEach = memoMap((one: NamedMessage) => {
  const { id } = one.message;
  return id && `${bitsOf(one)} ${id.canonical}`;
});

/** The indexes of repeated keys, each with the index of the first one. */
const repeatedIn = memo((keys: readonly (string | undefined)[]): [index: number, first: number][] => {
  const firsts = new Map<string, number>();
  const repeated: [number, number][] = [];
  keys.forEach((key, i) => {
    if (key === undefined) return;
    const first = firsts.get(key);
    if (first === undefined) firsts.set(key, i);
    else repeated.push([i, first]);
  });
  return repeated;
});

function freeIdentifier(
  one: NamedMessage,
  node: ScalarNode,
  from: number,
  taken: ReadonlySet<number | undefined>,
): Fix[] {
  const largest = largestOf(one);
  let id = from + 1;
  while (id <= largest && taken.has(id)) id++;
  if (id > largest) return [];
  const text = spelled(id, node);
  return [
    { title: `Change to ${text}, the next free identifier`, safety: 'choice', edits: [replace(node, text)] },
  ];
}

export const busIdOutOfRange: Check = engineCheck({
  id: 'bus-id-out-of-range',
  severity: 'error',
  title: 'Message identifier too large',
  page: {
    catches:
      'An identifier above 0x7FF without `extended: true`, or above 0x1FFFFFFF with it. An identifier has at most 29 bits.',
    why: 'The controller would truncate the identifier and send the message under a different one, which may be in use.',
    example: 'messages:\n  fast: { id: 0x18FF2000, length: 8 byte }   # 29 bits, but not extended',
    remedy: 'Make the identifier extended if all devices on the bus support 29 bits, or use one up to 0x7FF.',
    basis: 'ISO 11898-1: base frames have 11 bits, extended frames 29.',
  },
  *find({ installation: { configuration } }) {
    yield* outOfRangeEach(messagesOf(configuration), undefined);
  },
});

const outOfRangeEach = checkEach(function* (one: NamedMessage): Iterable<Found> {
  const { id, extended } = one.message;
  if (!id || id.canonical <= largestOf(one)) return;
  const mapping = nodeOf(one.message);
  const fixes: Fix[] = [];
  if (id.canonical <= largestIdentifier.extended && mapping.type === 'mapping') {
    const edit = extended
      ? replace(extended.node, 'true')
      : insertEntry(mapping, 'extended', { line: 'true' }, mapping.entry('id'));
    fixes.push({ title: 'Set `extended: true` (29-bit identifier)', safety: 'choice', edits: [edit] });
  }
  yield {
    at: id.node,
    message: `Identifier ${id.node.text} is above 0x${largestOf(one).toString(16).toUpperCase()}, the maximum for ${isExtended(one) ? 'a' : 'an'} ${bitsOf(one)} identifier.`,
    fixes,
  };
});

export const busMessageTooLong: Check = engineCheck({
  id: 'bus-message-too-long',
  severity: 'error',
  title: 'Invalid message length',
  page: {
    catches: 'A message longer than 8 bytes, or with a length that is not a whole number of bytes.',
    why: 'A classic frame holds 0 to 8 whole bytes. Any further bits are never sent.',
    example: 'messages:\n  fast: { id: 0x320, length: 12 byte }',
    remedy: 'Move the signals after byte 8 into another message.',
    basis: 'ISO 11898-1, classic frame format.',
  },
  *find({ installation: { configuration } }) {
    yield* tooLongEach(messagesOf(configuration), undefined);
  },
});

const tooLongEach = checkEach(function* ({ name, message }: NamedMessage): Iterable<Found> {
  const data = dataBits(message);
  if (!message.length || data === undefined || (data <= MAX_DATA && data % 8 === 0)) return;
  const whole = Math.min(8 * Math.ceil(data / 8), MAX_DATA);
  const fits = signalsOf(message).every(({ signal }) => {
    const place = placeOf(signal);
    return !place || signalFits(place, whole);
  });
  const text = `${whole / 8} byte`;
  yield {
    at: message.length.node,
    message:
      data > MAX_DATA
        ? `\`${name}\` has ${dataText(data)} of data; a message on a classic bus holds at most 8 bytes.`
        : `\`${name}\` has ${dataText(data)} of data; a message holds only whole bytes.`,
    fixes:
      whole > 0 && fits
        ? [
            {
              title: `Change to ${dataText(whole)}, which hold all its signals`,
              safety: 'choice',
              edits: [replace(message.length.node, text)],
            },
          ]
        : [],
  };
});

const BUS_OVERLOADED = 'the bus is overloaded';

export const busLoadHigh: Check = engineCheck({
  id: 'bus-load-high',
  severity: 'warning',
  title: 'Bus load too high',
  page: {
    catches:
      'Messages that together load the bus above the threshold, with the maximum number of stuff bits. More than 100 % without any stuff bits is an error.',
    why: 'Other devices also need the bus, and messages with errors are sent again. Near full load, messages with low priority are late or never sent.',
    example: 'bus:\n  bitrate: 125 kbit/s\n  messages:\n    fast: { id: 0x320, length: 8 byte, every: 2 ms }',
    remedy: 'Send slowly changing signals less often, combine signals, or raise the bit rate.',
    basis: 'Common practice, no source. Frame lengths: ISO 11898-1 and Davis et al. 2007.',
  },
  settings: {
    maximum: {
      kind: 'ratio',
      value: '50 %',
      meaning: 'Maximum bus load, with the maximum number of stuff bits.',
    },
  },
  *find({ derivation }, { maximum }) {
    const [nominal, worst] = [derivation.one(busLoad), derivation.one(busLoadWorstCase)];
    if (!nominal || !worst || !passes(worst.canonical, maximum)) return;
    yield {
      at: worst.node,
      severity: passes(nominal.canonical, 1) ? 'error' : 'warning',
      message: `Bus load is ${percentBeside(worst.canonical, maximum)} with the maximum number of stuff bits and ${percent(nominal.canonical)} without; the limit is ${percent(maximum)}.`,
      cause: BUS_OVERLOADED,
    };
  },
});

export const busPeriodMissed: Check = engineCheck({
  id: 'bus-period-missed',
  severity: 'warning',
  title: 'Message not sent in time',
  page: {
    catches: 'A message whose worst-case response time is longer than its period, or infinite.',
    why: 'The next value overwrites the one that is still waiting, so a display misses readings when the bus is busiest.',
    example:
      'bus:\n  bitrate: 125 kbit/s\n  messages:\n    fast: { id: 0x100, length: 8 byte, every: 2.5 ms }\n    slow: { id: 0x101, length: 8 byte, every: 3 ms }',
    remedy:
      'Give it a lower identifier, send the messages with higher priority less often, or raise the bit rate.',
    basis:
      'Davis, Burns, Bril and Lukkien 2007: every frame at its maximum length, all queued at the same time, no errors, no other sender.',
  },
  *find({ installation: { configuration }, derivation }) {
    if (!derivation.one(busLoad)) return;
    // On an overloaded bus, messages are late because of the load, not for a reason of their own.
    const isOverloaded = passes(derivation.one(busLoadWorstCase)?.canonical ?? 0, 1);
    // Responses are in the order of the messages, but some messages have none.
    const responses = derivation.get(responseTime);
    let next = 0;
    for (const { name, message, timing } of timedMessages(configuration)) {
      const every = message.every!;
      const response = responses[next]?.node === every.node ? responses[next++] : undefined;
      if (response && !passes(response.canonical, timing.period)) continue;
      yield {
        at: every.node,
        message: response
          ? `\`${name}\` may take ${valueText(response)} to be sent, longer than its period of ${every.node.text}.`
          : `\`${name}\` may never be sent: together with the messages of higher priority, it exceeds the capacity of the bus.`,
        cause: isOverloaded ? BUS_OVERLOADED : undefined,
      };
    }
  },
});
