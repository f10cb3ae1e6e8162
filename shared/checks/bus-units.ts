import type { BusSignal } from '../../generated/configuration.ts';
import { nodeOf } from '../configuration/values.ts';
import { codingOf, dimensionIn, messagesOf, type NamedMessage, signalsOf } from '../derived/bus-signals.ts';
import {
  describeKind,
  formatUnit,
  type Kind,
  kindAccepts,
  measuredQuantities,
  measuredQuantity,
  nearestWord,
} from '../quantity/index.ts';
import { insertEntry, renameKey, replace } from '../source/edit.ts';
import { keyOf } from '../source/source-file.ts';
import type { ScalarNode } from '../source/tree.ts';
import { type Check, engineCheck, type Fix, type Found } from './check.ts';
import { judgeEach } from './each.ts';
import { rewriting } from './form-words.ts';

export const busSignalUnits: Check = engineCheck({
  id: 'bus-signal-units',
  severity: 'error',
  title: 'Scale, offset and range of a signal do not belong together',
  page: {
    catches:
      'A signal whose scale, offset and range are not of one kind, or not of the kind of its quantity; a scale of zero; a pressure that says neither in its offset nor in its range what it is measured from.',
    why: 'The display multiplies and adds whatever it is given. Whether −40 is a Celsius or an absolute temperature, or whether 0.3 bar is boost or vacuum, must stand in the file.',
    example:
      'manifold_pressure: { start_bit: 16, bits: 16, scale: 0.1 kPa }   # from vacuum, or above ambient?',
    remedy: 'Give the offset a unit and, for a pressure, `abs` or `gauge`.',
    basis: 'The format of the file: a quantity carries its unit, a pressure its reference.',
  },
  *find({ installation: { configuration } }) {
    yield* unitFaultsEach(messagesOf(configuration), undefined);
  },
});

const unitFaultsEach = judgeEach(({ message }: NamedMessage) =>
  signalsOf(message).flatMap(({ name, signal }) => unitFault(name, signal) ?? []),
);

/** The first thing that is wrong, as the rest may follow from it. */
function unitFault(name: string, signal: BusSignal): Found | undefined {
  const { scale, offset, range } = signal;
  if (!scale) return undefined;
  if (scale.quantity.number === 0)
    return { at: scale.node, message: `A count of \`${name}\` is worth nothing: its scale is zero.` };
  const kind = measuredQuantity(name)?.entry.kind ?? 'any';
  const dimension = dimensionIn(scale.quantity);
  if (!isOfKind(kind, signal)) {
    return {
      at: scale.node,
      message: `A count of \`${name}\` is worth ${scale.node.text}; its quantity is ${describeKind(kind)}.`,
    };
  }
  if (offset && dimensionIn(offset.quantity) !== dimension) {
    return {
      at: offset.node,
      message: `The offset of \`${name}\` is ${offset.node.text}, but a count is worth ${scale.node.text}: write the offset with a unit of the same kind.`,
      fixes: offset.quantity.unit ? [] : offsetReadings(kind, signal, offset.quantity.number),
    };
  }
  if (range && dimensionIn(range.high) !== dimension) {
    return {
      at: range.node,
      message: `The range of \`${name}\` is ${range.node.text}, but a count is worth ${scale.node.text}.`,
    };
  }
  if (kind === 'temperature') {
    for (const [what, end] of [
      ['offset', offset?.quantity],
      ['lower end', range?.low],
    ] as const) {
      if (end?.unit?.symbol !== 'K' || end.number >= 0) continue;
      const { node } = what === 'offset' ? offset! : range!;
      return {
        at: node,
        message: `The ${what} of \`${name}\` is ${end.number} K, below absolute zero: a temperature is a point on the scale.`,
        fixes: [inCelsius(node)],
      };
    }
  }
  const [from, to] = [offset?.quantity.reference, range?.high.reference];
  if (range && from && to && from !== to) {
    return {
      at: range.node,
      message: `The range of \`${name}\` is ${range.node.text}, but its offset is ${offset!.node.text}: both must be measured from the same pressure.`,
    };
  }
  if (dimension !== 'pressure' || kindAccepts(kind, scale.quantity.unit, codingOf(signal)?.reference))
    return undefined;
  return {
    at: (offset ?? scale).node,
    message: `\`${name}\` does not say what it is measured from: write the offset with \`abs\` or \`gauge\`.`,
    fixes: offsetReadings(kind, signal, offset?.quantity.number ?? 0),
  };
}

/** What was written in K as if it were counted from the ice point. */
function inCelsius(node: ScalarNode): Fix {
  const end = node.text.trimEnd().length;
  return rewriting(node, [end - 1, end], '°C', 'choice');
}

const REFERENCES = [undefined, 'absolute', 'gauge', 'difference'] as const;

/** A scale is a step and has no reference, so that of the quantity does not matter here. */
function isOfKind(kind: Kind, { scale }: BusSignal): boolean {
  return REFERENCES.some((reference) => kindAccepts(kind, scale!.quantity.unit, reference));
}

/** The offset in each unit that it may have been meant in. */
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
    if (offset) return [fix(written, replace(offset.node, written))];
    if (mapping?.type !== 'mapping') return [];
    return [fix(written, insertEntry(mapping, 'offset', { line: written }, mapping.entry('scale')))];
  });
}

const fix = (written: string, edit: Fix['edits'][number]): Fix => ({
  title: `Write the offset ${written}`,
  safety: 'choice',
  edits: [edit],
});

export const busSignalUnknown: Check = engineCheck({
  id: 'bus-signal-unknown',
  severity: 'warning',
  title: 'A signal of an unknown quantity',
  page: {
    catches: 'A signal whose name is none of the quantities that there are.',
    why: 'The controller has nothing to put into it, and its range and resolution can be held against nothing.',
    example: 'signals:\n  oil_temprature: { start_bit: 0, bits: 8, scale: 1 K, offset: -40 °C }',
    remedy:
      'Take one of the known names. One of several alike carries its number: `exhaust_gas_temperature[2]`.',
    basis: 'The format of the file.',
  },
  *find({ installation: { configuration } }) {
    yield* unknownEach(messagesOf(configuration), undefined);
  },
});

const unknownEach = judgeEach(function* ({ message }: NamedMessage): Iterable<Found> {
  for (const { name, signal } of signalsOf(message)) {
    if (measuredQuantity(name)) continue;
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
      message: `There is no quantity \`${name}\` that a signal could carry.`,
      fixes:
        nearest && entry && !node.parent.entry(nearest)
          ? [{ title: `Write \`${nearest}\``, safety: 'choice', edits: [renameKey(entry, nearest)] }]
          : [],
    };
  }
});
