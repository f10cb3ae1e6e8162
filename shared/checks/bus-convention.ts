import type { BusMessage, BusSignal, EngineConfiguration } from '../../generated/configuration.ts';
import { capital } from '../capital.ts';
import { nodeOf } from '../configuration/values.ts';
import * as canaerospace from '../conventions/canaerospace.ts';
import { dataTypes, HEADER_BYTES, identifierFor, identifierRanges } from '../conventions/canaerospace.ts';
import type { Published } from '../conventions/convention.ts';
import * as j1939 from '../conventions/j1939.ts';
import { isFloat, messagesOf, type NamedMessage, placedSignals, signalsOf } from '../derived/bus-signals.ts';
import { isStatus } from '../derived/bus-states.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { insertEntry, replace } from '../source/edit.ts';
import { keyNode } from '../source/source-file.ts';
import { type Check, engineCheck, type Fix, type Found } from './check.ts';
import { quote } from './form-words.ts';
import { formatStated, listed } from './words.ts';

export type Convention = 'canaerospace' | 'j1939';

export const TITLES: Readonly<Record<Convention, string>> = {
  canaerospace: 'CANaerospace',
  j1939: 'SAE J1939',
};

export const BASIS =
  'CANaerospace V1.7; SAE J1939-71 as published in an open-source table. The bit rates, priorities and proprietary groups of J1939 are from memory.';

export const conventionOf = ({ bus }: EngineConfiguration): Convention | undefined => bus?.convention?.text;

const isExtended = (message: BusMessage): boolean => message.extended?.flag ?? false;

/** What the convention sends under the identifier of a message; undefined if its table does not have it. */
export function publishedOf(convention: Convention, message: BusMessage): Published | undefined {
  const id = message.id?.canonical;
  if (id === undefined) return undefined;
  if (convention === 'canaerospace') return isExtended(message) ? undefined : canaerospace.publishedAs(id);
  return isExtended(message) ? j1939.publishedIn(j1939.splitIdentifier(id).pgn) : undefined;
}

/** A quantity of the file without its index. */
export const quantityOf = (name: string): string | undefined => measuredQuantity(name)?.entry.name;

export const busConventionIdentifier: Check = engineCheck({
  id: 'bus-convention-identifier',
  severity: 'error',
  title: 'Identifier not of the convention',
  page: {
    catches:
      'A message whose identifier the convention of the bus reserves for something else, or does not have: outside the user-defined ranges of CANaerospace, or not in the tables of this program (a warning). With J1939, an identifier of 11 bits. A bit rate that the convention does not have (a warning).',
    why: 'A display that follows the convention ignores the message, or takes it for the data that belong to that identifier.',
    example:
      'bus:\n  convention: canaerospace\n  messages:\n    speed: { id: 0x320, length: 8 byte, ... }   # 0x320 is 800, normal operation data',
    remedy:
      'Use the identifier that the convention gives to the quantity. Data of your own go to 200 to 299 or 1800 to 1899 with CANaerospace, and to groups 65280 to 65535 with J1939.',
    basis: BASIS,
  },
  *find({ installation: { configuration } }) {
    const convention = conventionOf(configuration);
    if (!convention) return;
    yield* bitRateFault(convention, configuration);
    for (const one of messagesOf(configuration)) {
      if (!one.message.id || publishedOf(convention, one.message)) continue;
      yield* convention === 'canaerospace' ? strangeIdentifier(one) : strangeGroup(one);
    }
  },
});

function* bitRateFault(convention: Convention, { bus }: EngineConfiguration): Iterable<Found> {
  const rates = (convention === 'canaerospace' ? canaerospace : j1939).bitRates;
  const rate = bus?.bitrate;
  if (!rate || rates.includes(rate.canonical)) return;
  const known = rates.map((one) => formatStated(one, 'kbit/s'));
  yield {
    at: rate.node,
    severity: 'warning',
    message: `The bit rate is ${rate.node.text}; ${TITLES[convention]} has ${listed(known)}.`,
  };
}

function* strangeIdentifier({ name, message }: NamedMessage): Iterable<Found> {
  const { id } = message;
  if (!id || isExtended(message)) return;
  const range = identifierRanges.find(({ from, to }) => id.canonical >= from && id.canonical <= to);
  if (range?.isFree) return;
  const [only, ...others] = signalsOf(message);
  const given = only && others.length === 0 ? identifierFor(quantityOf(only.name) ?? '') : undefined;
  const place = range
    ? `in the range of ${range.name} (${range.from} to ${range.to})`
    : 'above 2031, the largest of the convention';
  yield {
    at: id.node,
    severity: given === undefined ? 'warning' : 'error',
    message:
      given === undefined
        ? `The identifier ${id.canonical} of ${quote(name)} is ${place}; own data use 200 to 299 or 1800 to 1899.`
        : `The identifier ${id.canonical} of ${quote(name)} is ${place}; CANaerospace sends ${quote(only!.name)} of engine 1 as ${given}.`,
    fixes:
      given === undefined
        ? []
        : [{ title: `Change to ${given}`, safety: 'choice', edits: [replace(id.node, String(given))] }],
  };
}

function* strangeGroup({ name, message }: NamedMessage): Iterable<Found> {
  const id = message.id!;
  if (!isExtended(message)) {
    const mapping = nodeOf(message);
    const fixes: Fix[] =
      mapping.type === 'mapping' && !message.extended
        ? [
            {
              title: 'Set `extended: true` (29-bit identifier)',
              safety: 'choice',
              edits: [insertEntry(mapping, 'extended', { line: 'true' }, mapping.entry('id'))],
            },
          ]
        : [];
    yield {
      at: id.node,
      message: `The identifier of ${quote(name)} has 11 bits; J1939 has only identifiers of 29 bits.`,
      fixes,
    };
    return;
  }
  const { pgn } = j1939.splitIdentifier(id.canonical);
  if (j1939.isProprietary(pgn)) return;
  yield {
    at: id.node,
    severity: 'warning',
    message: `The identifier of ${quote(name)} means group ${pgn}, which is not in the table of this program, so its signals are not checked; own data use groups 65280 to 65535.`,
  };
}

export const busConventionQuantity: Check = engineCheck({
  id: 'bus-convention-quantity',
  severity: 'error',
  title: 'Other quantity than the convention',
  page: {
    catches:
      'A message with a published identifier that carries another quantity than the convention sends there.',
    why: 'A display that follows the convention shows oil pressure as manifold pressure, without any sign that it is wrong.',
    example:
      'bus:\n  convention: canaerospace\n  messages:\n    oil: { id: 528, ..., signals: { oil_pressure: { ... } } }   # 528 is the manifold pressure',
    remedy: 'Use the identifier of the quantity, or one of the user-defined ranges.',
    basis: BASIS,
  },
  *find({ installation: { configuration } }) {
    const convention = conventionOf(configuration);
    if (!convention) return;
    for (const { message } of messagesOf(configuration)) {
      const published = publishedOf(convention, message);
      if (!published || !message.id) continue;
      const own = published.parameters.flatMap(({ quantity }) => quantity ?? []);
      const isOfStatus = published.parameters.some(({ codings }) => codings.length === 0);
      for (const { name, signal } of signalsOf(message)) {
        const quantity = quantityOf(name);
        if (isStatus(signal) ? isOfStatus : quantity !== undefined && own.includes(quantity)) continue;
        const right =
          convention === 'canaerospace' && !isStatus(signal) ? identifierFor(quantity ?? '') : undefined;
        const node = nodeOf(signal);
        yield {
          at: keyNode(node),
          message: `${sent(convention, published, message.id.node.text)}, but this message carries ${quote(name)}${right === undefined ? '' : `, which is ${right}`}.`,
          related: [{ at: message.id.node, message: 'The identifier.' }],
        };
      }
    }
  },
});

/** `CANaerospace sends manifold pressure of engine 1, channel A under 528` */
function sent(convention: Convention, { title, parameters }: Published, id: string): string {
  return convention === 'canaerospace'
    ? `CANaerospace sends ${title} under ${id}`
    : `The identifier ${id} means ${title}, with ${listed(parameters.map(({ name }) => name))}`;
}

export const busConventionHeader: Check = engineCheck({
  id: 'bus-convention-header',
  severity: 'error',
  title: 'Header not of the convention',
  page: {
    catches:
      'A CANaerospace message without a header, with node 0, or with a data type that the identifier, the length or the signals do not have. A header without the convention canaerospace.',
    why: 'The receiver decodes bytes 4 to 7 by the data type in byte 1. A float that is announced as two integers of 16 bits shows nonsense.',
    example:
      'convention: canaerospace\nmessages:\n  speed: { id: 500, length: 8 byte, header: { node_id: 11, type: SHORT2 }, signals: { engine_speed: { start_bit: 39, bits: 32, encoding: float, ... } } }',
    remedy: 'State node and data type, and let signals and length follow from the type.',
    basis: BASIS,
  },
  *find({ installation: { configuration } }) {
    const convention = conventionOf(configuration);
    for (const one of messagesOf(configuration)) {
      const { header } = one.message;
      if (convention === 'canaerospace') yield* headerFaults(one);
      else if (header)
        yield {
          at: nodeOf(header),
          message: `${capital(quote(one.name))} has a header, which only a bus with \`convention: canaerospace\` has.`,
        };
    }
  },
});

function* headerFaults({ name, message }: NamedMessage): Iterable<Found> {
  if (isExtended(message)) return;
  const { header, length } = message;
  if (!header) {
    const node = nodeOf(message);
    yield {
      at: keyNode(node),
      message: `${capital(quote(name))} has no \`header\`: CANaerospace needs node and data type in bytes 0 and 1.`,
    };
    return;
  }
  if (header.node_id?.canonical === 0)
    yield {
      at: header.node_id.node,
      message: 'Node 0 means all nodes; the sender needs a number from 1 to 255.',
    };
  const { type } = header;
  if (!type) return;
  const { number, bytes } = dataTypes[type.text];
  const types = publishedOf('canaerospace', message)?.types;
  const isOtherType = types !== undefined && !types.includes(type.text);
  if (isOtherType)
    yield {
      at: type.node,
      message: `The type is ${type.text} (${number}), but CANaerospace sends this identifier as ${types.join(' or ')}.`,
    };
  const needed = HEADER_BYTES + bytes;
  if (length && length.canonical !== 8 * needed)
    yield {
      at: length.node,
      message: `The length is ${length.node.text}, but a header of 4 bytes and ${type.text} of ${bytes} need ${needed} byte.`,
      fixes: [
        {
          title: `Change to ${needed} byte`,
          safety: 'choice',
          edits: [replace(length.node, `${needed} byte`)],
        },
      ],
    };
  for (const one of placedSignals(message)) {
    const first = Math.min(...one.positions);
    if (first < 8 * HEADER_BYTES)
      yield {
        at: one.signal.start_bit!.node,
        message: `${capital(quote(one.name))} begins at bit ${first}, inside the header; signals follow from byte 4, bit 32.`,
      };
    else if (!isOtherType && isFloat(one.signal) !== (type.text === 'FLOAT') && !isStatus(one.signal))
      yield {
        at: type.node,
        message: `The type is ${type.text}, but ${quote(one.name)} is ${numberText(one.signal)}.`,
        related: [{ at: nodeOf(one.signal), message: 'The signal.' }],
      };
  }
}

const numberText = (signal: BusSignal): string =>
  `${isFloat(signal) ? 'a floating-point number' : 'an integer'} of ${signal.bits!.canonical} bits`;
