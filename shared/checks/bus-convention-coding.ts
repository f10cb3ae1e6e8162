import type { BusSignal } from '../../generated/configuration.ts';
import { capital } from '../capital.ts';
import { nodeOf } from '../configuration/values.ts';
import type { Coding } from '../conventions/convention.ts';
import { codingOf, isFloat, messagesOf, type NamedSignal, signalsOf } from '../derived/bus-signals.ts';
import { isStatus } from '../derived/bus-states.ts';
import { isFault, parseAs } from '../quantity/index.ts';
import { insertEntry, replace } from '../source/edit.ts';
import type { Node } from '../source/tree.ts';
import { BASIS, conventionOf, publishedOf, quantityOf, TITLES } from './bus-convention.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { quote } from './form-words.ts';
import { listed } from './words.ts';

export const busConventionCoding: Check = engineCheck({
  id: 'bus-convention-coding',
  severity: 'error',
  title: 'Coding not of the convention',
  page: {
    catches:
      'A signal whose start bit, bits, byte order, sign, encoding, scale, offset or unit are not those that the convention publishes for its quantity. All departures of one signal are one finding.',
    why: 'The display decodes the message as the convention says. A temperature that is sent in °C where kelvin is expected is 273 K too low.',
    example:
      'bus:\n  convention: canaerospace\n  messages:\n    coolant: { id: 548, ..., signals: { coolant_temperature: { start_bit: 39, bits: 32, byte_order: big, encoding: float, scale: 1 K, offset: 0 °C } } }   # kelvin, so offset: 0 K',
    remedy: 'Take the values that the message names; the fix writes them.',
    basis: BASIS,
  },
  *find({ installation: { configuration } }) {
    const convention = conventionOf(configuration);
    if (!convention) return;
    for (const { message } of messagesOf(configuration)) {
      const parameters = publishedOf(convention, message)?.parameters ?? [];
      for (const one of signalsOf(message)) {
        const parameter = parameters.find(
          ({ quantity }) => quantity !== undefined && quantity === quantityOf(one.name),
        );
        if (parameter && !isStatus(one.signal)) yield* departure(one, parameter.codings, TITLES[convention]);
      }
    }
  },
});

function* departure(
  { name, signal }: NamedSignal,
  codings: readonly Coding[],
  title: string,
): Iterable<Found> {
  if (!signal.start_bit || !signal.bits || !signal.scale) return;
  const [nearest] = codings
    .map((coding) => ({ coding, differences: differencesOf(signal, coding) }))
    .sort((a, b) => a.differences.length - b.differences.length);
  const [first] = nearest?.differences ?? [];
  if (!nearest || !first) return;
  const { differences } = nearest;
  const mapping = nodeOf(signal);
  const parts = differences.map(({ key, is, wanted }) => `\`${key}\` is ${is} instead of ${wanted}`);
  const edits = differences.map(({ key, wanted, node }) =>
    node || mapping.type !== 'mapping'
      ? replace(node ?? mapping, wanted)
      : insertEntry(mapping, key, { line: wanted }, mapping.entries.at(-1)),
  );
  // Several keys at the same place would be inserted in an order that nobody chose.
  const isOneInsertion = differences.filter(({ node }) => !node).length <= 1;
  yield {
    at: first.node ?? mapping,
    message: `${capital(quote(name))} is not coded as ${title} publishes it: ${listed(parts)}.`,
    fixes:
      isOneInsertion && mapping.type === 'mapping'
        ? [{ title: `Code it as ${title} does`, safety: 'choice', edits }]
        : [],
  };
}

interface Difference {
  readonly key: string;
  readonly is: string;
  readonly wanted: string;
  /** Where it is written; undefined if the default is wrong. */
  readonly node: Node | undefined;
}

/** Relative difference up to which scales and offsets are equal. */
const SAME = 1e-9;

function differencesOf(signal: BusSignal, coding: Coding): Difference[] {
  const { start_bit: start, bits, byte_order: order, signed, encoding, scale, offset } = signal;
  const found: Difference[] = [];
  const compare = (key: string, is: string, wanted: string, node: Node | undefined) => {
    if (is !== wanted) found.push({ key, is, wanted, node });
  };
  compare('start_bit', String(start!.canonical), String(coding.startBit), start!.node);
  compare('bits', String(bits!.canonical), String(coding.bits), bits!.node);
  compare('byte_order', order?.text ?? 'little', coding.byteOrder, order?.node);
  compare(
    'encoding',
    isFloat(signal) ? 'float' : 'integer',
    coding.isFloat ? 'float' : 'integer',
    encoding?.node,
  );
  if (!coding.isFloat) compare('signed', String(signed?.flag ?? false), String(coding.signed), signed?.node);
  const own = codingOf(signal);
  const [step, zero] = [parseAs('any', coding.scale), parseAs('any', coding.offset)];
  if (!own || isFault(step) || isFault(zero)) return found;
  if (!isNear(own.step, step.canonical))
    found.push({ key: 'scale', is: scale!.node.text, wanted: coding.scale, node: scale!.node });
  // A pressure without a reference reads as a difference.
  const stated = zero.reference === 'difference' ? undefined : zero.reference;
  const isOtherReference = stated !== undefined && own.reference !== stated;
  if (isOtherReference || !isNear(own.zero, zero.canonical))
    found.push({
      key: 'offset',
      is: offset?.node.text ?? '0',
      wanted: withReference(coding.offset, stated, own.reference),
      node: offset?.node,
    });
  return found;
}

const isNear = (a: number, b: number): boolean =>
  Math.abs(a - b) <= SAME * Math.max(Math.abs(a), Math.abs(b));

/** The published offset with the reference of the file where the convention states none. */
function withReference(text: string, stated: string | undefined, own: string | undefined): string {
  if (stated !== undefined || own === undefined || own === 'difference') return text;
  return `${text} ${own === 'gauge' ? 'gauge' : 'abs'}`;
}
