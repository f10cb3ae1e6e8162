import { nodeOf } from '../configuration/values.ts';
import { busLoad, busLoadWorstCase, MOST_DATA, responseTime, timedMessages } from '../derived/bus.ts';
import { dataBits, messagesOf, type NamedMessage, placeOf, signalsOf } from '../derived/bus-signals.ts';
import { valueText } from '../derived/value.ts';
import { groupedBy } from '../grouped-by.ts';
import { memo, memoMap } from '../memo.ts';
import { largestIdentifier } from '../physics/bus.ts';
import { signalFits } from '../physics/bus-signal.ts';
import { insertEntry, replace } from '../source/edit.ts';
import type { ScalarNode } from '../source/tree.ts';
import { type Check, engineCheck, type Fix, type Found } from './check.ts';
import { judgeEach } from './each.ts';
import { passes } from './threshold.ts';
import { formatNumber, percent, percentBeside } from './words.ts';

const isExtended = ({ message }: NamedMessage): boolean => message.extended?.flag ?? false;

const largestOf = (one: NamedMessage): number =>
  isExtended(one) ? largestIdentifier.extended : largestIdentifier.base;

const bitsOf = (one: NamedMessage): string => (isExtended(one) ? '29-bit' : '11-bit');

/** An identifier spelled as the file spells it. */
function spelled(id: number, like: ScalarNode): string {
  return /^0x/i.test(like.text) ? `0x${id.toString(16).toUpperCase()}` : String(id);
}

export const busIdDuplicate: Check = engineCheck({
  id: 'bus-id-duplicate',
  severity: 'error',
  title: 'Two messages with one identifier',
  page: {
    catches: 'A message with the identifier of another one. An 11-bit and a 29-bit identifier never meet.',
    why: 'A receiver tells messages apart by their identifiers alone: a display would read oil pressure out of the bytes of engine speed. Two frames sent at once destroy each other.',
    example: 'messages:\n  fast: { id: 0x320, length: 8 byte }\n  slow: { id: 0x320, length: 8 byte }',
    remedy:
      'Give one of them another identifier. The lower one wins the bus, so the more urgent message takes it.',
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
        message: `\`${one.name}\` has the ${bitsOf(one)} identifier ${id.node.text} of \`${first.name}\`.`,
        related: [{ at: first.message.id.node, message: `The identifier of \`${first.name}\`.` }],
        fixes: freeIdentifier(one, id.node, id.canonical, taken.get(bitsOf(one))!),
      };
    }
  },
});

/** The same for two messages that no receiver can tell apart; undefined without an identifier. */
const identifierOfEach = memoMap((one: NamedMessage) => {
  const { id } = one.message;
  return id && `${bitsOf(one)} ${id.canonical}`;
});

/** The places of what stands in a list before, each with the place where it stands first. */
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
    { title: `Write ${text}, the next free identifier`, safety: 'choice', edits: [replace(node, text)] },
  ];
}

export const busIdOutOfRange: Check = engineCheck({
  id: 'bus-id-out-of-range',
  severity: 'error',
  title: 'An identifier that no frame can carry',
  page: {
    catches:
      'An identifier above 0x7FF without `extended: true`, or above 0x1FFFFFFF with it. No frame has more than 29 bits for it.',
    why: 'The controller would cut the identifier off and send under another one, perhaps one that is in use.',
    example: 'messages:\n  fast: { id: 0x18FF2000, length: 8 byte }   # 29 bits, but not extended',
    remedy: 'Make the identifier extended if every device on the bus knows 29 bits, or take one up to 0x7FF.',
    basis: 'ISO 11898-1: base frames have 11 bits, extended frames 29.',
  },
  *find({ installation: { configuration } }) {
    yield* outOfRangeEach(messagesOf(configuration), undefined);
  },
});

const outOfRangeEach = judgeEach(function* (one: NamedMessage): Iterable<Found> {
  const { id, extended } = one.message;
  if (!id || id.canonical <= largestOf(one)) return;
  const mapping = nodeOf(one.message);
  const fixes: Fix[] = [];
  if (id.canonical <= largestIdentifier.extended && mapping.type === 'mapping') {
    const edit = extended
      ? replace(extended.node, 'true')
      : insertEntry(mapping, 'extended', { line: 'true' }, mapping.entry('id'));
    fixes.push({ title: 'Make the identifier extended, 29 bits long', safety: 'choice', edits: [edit] });
  }
  yield {
    at: id.node,
    message: `${id.node.text} does not fit ${isExtended(one) ? 'a' : 'an'} ${bitsOf(one)} identifier, which ends at 0x${largestOf(one).toString(16).toUpperCase()}.`,
    fixes,
  };
});

export const busMessageTooLong: Check = engineCheck({
  id: 'bus-message-too-long',
  severity: 'error',
  title: 'A length that no classic frame has',
  page: {
    catches: 'A message of more than 8 byte, or of a length that is not whole bytes.',
    why: 'A classic frame has room for 0 to 8 whole bytes. What is further back is never sent.',
    example: 'messages:\n  fast: { id: 0x320, length: 12 byte }',
    remedy: 'Move the signals behind byte 8 into a message of their own.',
    basis: 'ISO 11898-1, classic frame format.',
  },
  *find({ installation: { configuration } }) {
    yield* tooLongEach(messagesOf(configuration), undefined);
  },
});

const tooLongEach = judgeEach(function* ({ name, message }: NamedMessage): Iterable<Found> {
  const data = dataBits(message);
  if (!message.length || data === undefined || (data <= MOST_DATA && data % 8 === 0)) return;
  const whole = Math.min(8 * Math.ceil(data / 8), MOST_DATA);
  const fits = signalsOf(message).every(({ signal }) => {
    const place = placeOf(signal);
    return !place || signalFits(place, whole);
  });
  const text = `${whole / 8} byte`;
  yield {
    at: message.length.node,
    message:
      data > MOST_DATA
        ? `\`${name}\` has ${message.length.node.text} of data; a classic frame has at most 8 byte.`
        : `\`${name}\` has ${formatNumber(data)} bit of data; a frame has whole bytes.`,
    fixes:
      whole > 0 && fits
        ? [
            {
              title: `Write ${text}, which holds all its signals`,
              safety: 'choice',
              edits: [replace(message.length.node, text)],
            },
          ]
        : [],
  };
});

export const busLoadHigh: Check = engineCheck({
  id: 'bus-load-high',
  severity: 'warning',
  title: 'The bus is heavily loaded',
  page: {
    catches:
      'Messages that with worst-case stuffing take more of the bus than the threshold. Where they take more than all of it even without a stuff bit, it is an error.',
    why: 'Other devices need the bus too, and a frame in error is sent again. Near full load, messages of low priority come late or never.',
    example: 'bus:\n  bitrate: 125 kbit/s\n  messages:\n    fast: { id: 0x320, length: 8 byte, every: 2 ms }',
    remedy: 'Send slowly changing signals less often, put signals together, or raise the bit rate.',
    basis:
      'Common practice, no source; the length of the frames is that of ISO 11898-1 and Davis et al. 2007.',
  },
  settings: {
    maximum: {
      kind: 'ratio',
      value: '50 %',
      meaning: 'The highest load of the bus, with worst-case stuffing.',
    },
  },
  *find({ derivation }, { maximum }) {
    const [nominal, worst] = [derivation.one(busLoad), derivation.one(busLoadWorstCase)];
    if (!nominal || !worst || !passes(worst.canonical, maximum)) return;
    yield {
      at: worst.node,
      severity: passes(nominal.canonical, 1) ? 'error' : 'warning',
      message: `The messages take ${percentBeside(worst.canonical, maximum)} of the bus with worst-case stuffing, ${percent(nominal.canonical)} without; ${percent(maximum)} is the limit.`,
    };
  },
});

export const busPeriodMissed: Check = engineCheck({
  id: 'bus-period-missed',
  severity: 'warning',
  title: 'A message may not be out before its next one is due',
  page: {
    catches: 'A message whose worst response time is longer than its period, or has no end.',
    why: 'The next value overwrites the one that still waits: a display misses readings just when the bus is busiest.',
    example:
      'bus:\n  bitrate: 125 kbit/s\n  messages:\n    fast: { id: 0x100, length: 8 byte, every: 2.5 ms }\n    slow: { id: 0x101, length: 8 byte, every: 3 ms }',
    remedy:
      'Give it a lower identifier, send the messages that overtake it less often, or raise the bit rate.',
    basis:
      'Davis, Burns, Bril and Lukkien 2007: every frame at its longest, all queued at once, none in error, no other sender.',
  },
  *find({ installation: { configuration }, derivation }) {
    if (!derivation.one(busLoad)) return;
    // In the order of the messages, though some may have none.
    const responses = derivation.get(responseTime);
    let next = 0;
    for (const { name, message, timing } of timedMessages(configuration)) {
      const every = message.every!;
      const response = responses[next]?.node === every.node ? responses[next++] : undefined;
      if (response && !passes(response.canonical, timing.period)) continue;
      yield {
        at: every.node,
        message: response
          ? `\`${name}\` may need ${valueText(response)} to get out, longer than the ${every.node.text} between two of it.`
          : `\`${name}\` may wait for ever: it and the messages that overtake it ask for the whole bus.`,
      };
    }
  },
});
