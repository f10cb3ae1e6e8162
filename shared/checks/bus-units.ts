import type { BusSignal } from '../../generated/configuration.ts';
import { nodeOf } from '../configuration/values.ts';
import { codingOf, dimensionIn, messagesOf, type NamedMessage, signalsOf } from '../derived/bus-signals.ts';
import { isStatus } from '../derived/bus-states.ts';
import {
  describeKind,
  formatUnit,
  type Kind,
  kindAccepts,
  measuredQuantities,
  measuredQuantity,
  nearestWord,
} from '../quantity/index.ts';
import { insertEntry, replace } from '../source/edit.ts';
import { keyOf } from '../source/source-file.ts';
import type { ScalarNode } from '../source/tree.ts';
import { type Check, engineCheck, type Fix, type Found } from './check.ts';
import { checkEach } from './each.ts';
import { zeroReadings } from './form-scales.ts';
import { renaming, rewriting } from './form-words.ts';

export const busSignalUnits: Check = engineCheck({
  id: 'bus-signal-units',
  severity: 'error',
  title: 'Signal units do not match',
  page: {
    catches:
      'A signal whose scale, offset and range have units of different kinds, or units that do not fit its quantity. Also a scale of zero, a temperature without an offset, and a pressure without a pressure reference in offset or range.',
    why: 'A display only multiplies and adds. The file must state whether −40 is in degrees Celsius or kelvin, and whether 0.3 bar is a gauge or an absolute pressure.',
    example: 'manifold_pressure: { start_bit: 16, bits: 16, scale: 0.1 kPa }   # absolute or gauge?',
    remedy: 'Give a temperature an offset in °C or K, and a pressure an offset with `abs` or `gauge`.',
    basis: 'The file format: a quantity has a unit, a pressure has a reference.',
  },
  *find({ installation: { configuration } }) {
    yield* unitFaultsEach(messagesOf(configuration), undefined);
  },
});

const unitFaultsEach = checkEach(({ message }: NamedMessage) =>
  signalsOf(message).flatMap(({ name, signal }) => unitFault(name, signal) ?? []),
);

/** The first fault only, as others may follow from it. */
function unitFault(name: string, signal: BusSignal): Found | undefined {
  const { scale, offset, range } = signal;
  if (!scale || isStatus(signal)) return undefined;
  if (scale.quantity.number === 0) return { at: scale.node, message: `The scale of \`${name}\` is zero.` };
  const kind = measuredQuantity(name)?.entry.kind ?? 'any';
  const dimension = dimensionIn(scale.quantity);
  if (!isOfKind(kind, signal)) {
    return {
      at: scale.node,
      message: `The scale of \`${name}\` is ${scale.node.text}, but the quantity must be ${describeKind(kind)}.`,
    };
  }
  if (offset && dimensionIn(offset.quantity) !== dimension) {
    return {
      at: offset.node,
      message: `The offset of \`${name}\` is ${offset.node.text}, but its scale is ${scale.node.text}. Both need units of the same kind.`,
      fixes: offset.quantity.unit ? [] : offsetReadings(kind, signal, offset.quantity.number),
    };
  }
  if (range && dimensionIn(range.high) !== dimension) {
    return {
      at: range.node,
      message: `The range of \`${name}\` is ${range.node.text}, but its scale is ${scale.node.text}. Both need units of the same kind.`,
    };
  }
  if (kind === 'temperature') {
    for (const [what, end] of [
      ['offset', offset?.quantity],
      ['lower end of the range', range?.low],
    ] as const) {
      if (end?.unit?.symbol !== 'K' || end.number >= 0) continue;
      const { node } = what === 'offset' ? offset! : range!;
      return {
        at: node,
        message: `The ${what} of \`${name}\` is ${end.number} K, below absolute zero. It must be a temperature, not a temperature difference.`,
        fixes: [inCelsius(node)],
      };
    }
    // `unit-of-wrong-kind` reports a scale that is not in K.
    if (!offset && scale.quantity.unit?.symbol === 'K') {
      return {
        at: scale.node,
        message: `The scale of \`${name}\` is ${scale.node.text}, but \`offset\` is missing, so a count of zero may be 0 °C or 0 K.`,
        fixes: zeroReadings(scale, 'offset'),
        cause: scale.node,
      };
    }
  }
  const [from, to] = [offset?.quantity.reference, range?.high.reference];
  if (range && from && to && from !== to) {
    return {
      at: range.node,
      message: `The range of \`${name}\` is ${range.node.text}, but its offset is ${offset!.node.text}. Both need the same pressure reference.`,
    };
  }
  if (dimension !== 'pressure' || kindAccepts(kind, scale.quantity.unit, codingOf(signal)?.reference))
    return undefined;
  return {
    at: (offset ?? scale).node,
    message: `The pressure reference of \`${name}\` is missing: write the offset with \`abs\` or \`gauge\`.`,
    fixes: offsetReadings(kind, signal, offset?.quantity.number ?? 0),
  };
}

/** A value in °C that was written with the unit K. */
function inCelsius(node: ScalarNode): Fix {
  const end = node.text.trimEnd().length;
  return rewriting(node, [end - 1, end], '°C', 'choice');
}

const REFERENCES = [undefined, 'absolute', 'gauge', 'difference'] as const;

/** Whether the scale has a unit of the quantity; a scale is a step and has no pressure reference. */
function isOfKind(kind: Kind, { scale }: BusSignal): boolean {
  return REFERENCES.some((reference) => kindAccepts(kind, scale!.quantity.unit, reference));
}

/** Fixes that write the offset with each unit that it may have. */
function offsetReadings(kind: Kind, { scale, offset }: BusSignal, number: number): Fix[] {
  const { unit } = scale!.quantity;
  if (!unit) return [];
  const units =
    unit.dimension === 'temperature'
      ? ['°C', 'K']
      : unit.dimension === 'pressure'
        ? (['absolute', 'gauge', 'difference'] as const)
            .filter((reference) => kindAccepts(kind, unit, reference))
            .map((reference) => formatUnit(unit, reference))
        : [unit.symbol];
  const mapping = scale!.node.parent;
  return units.flatMap((text) => {
    const written = `${number} ${text}`;
    if (offset) return [fix(`Change the offset to ${written}`, replace(offset.node, written))];
    if (mapping?.type !== 'mapping') return [];
    const edit = insertEntry(mapping, 'offset', { line: written }, mapping.entry('scale'));
    return [fix(`Add \`offset: ${written}\``, edit)];
  });
}

const fix = (title: string, edit: Fix['edits'][number]): Fix => ({
  title,
  safety: 'choice',
  edits: [edit],
});

export const busSignalUnknown: Check = engineCheck({
  id: 'bus-signal-unknown',
  severity: 'warning',
  title: 'Unknown signal quantity',
  page: {
    catches: 'A signal whose name is not a known quantity.',
    why: 'The controller has no value to send, and range and resolution cannot be checked.',
    example: 'signals:\n  oil_temprature: { start_bit: 0, bits: 8, scale: 1 K, offset: -40 °C }',
    remedy:
      'Use a known name. A quantity of one cylinder takes the cylinder number in brackets: `exhaust_gas_temperature[2]`.',
    basis: 'The file format.',
  },
  *find({ installation: { configuration } }) {
    yield* unknownEach(messagesOf(configuration), undefined);
  },
});

const unknownEach = checkEach(function* ({ message }: NamedMessage): Iterable<Found> {
  for (const { name, signal } of signalsOf(message)) {
    if (measuredQuantity(name) || isStatus(signal)) continue;
    const node = nodeOf(signal);
    const key = keyOf(node);
    if (!key || node.parent?.type !== 'mapping') continue;
    const nearest = nearestWord(
      name,
      measuredQuantities.map((one) => one.name),
    );
    const entry = node.parent.entry(name);
    yield {
      at: key,
      message: `\`${name}\` is not a known quantity.`,
      fixes: nearest && entry && !node.parent.entry(nearest) ? renaming(entry, nearest) : [],
    };
  }
});
