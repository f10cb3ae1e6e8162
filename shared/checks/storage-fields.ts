import { nodeOf, nodesOf, type QuantityValue, type Value, valueAtPath } from '../configuration/values.ts';
import { counted } from '../counted.ts';
import { describeKind, nearestWord } from '../quantity/index.ts';
import { replace } from '../source/edit.ts';
import { keyNode } from '../source/source-file.ts';
import { type Node, spanInScalar } from '../source/tree.ts';
import { scaleOfWrongKind, scaleOfWrongUnit } from '../storage/coding.ts';
import { type KeptPart, keptParts } from '../storage/kept-parts.ts';
import { type FieldPart, partsOf } from '../storage/layout.ts';
import { followPath, kindsOf, valueShapeAt } from '../storage/path.ts';
import { engineOf, placeOfField, writtenAt } from '../storage/place.ts';
import { type Check, controllerCheck, engineCheck, type Fix, type Found, fileCheck } from './check.ts';
import { scaleInKelvin, zeroReadings } from './form-scales.ts';
import { listOf, nameOf, quote } from './form-words.ts';

import { listed } from './words.ts';

export const fieldPathUnknown: Check = controllerCheck({
  id: 'field-path-unknown',
  severity: 'error',
  title: 'Storage field for unknown key',
  page: {
    catches:
      'A storage field whose key path is not a key of engine files, is a whole section, or has a word for which the field states no `codes`.',
    why: 'Nothing is stored in such a field, so the controller keeps its old value.',
    example: 'fields:\n  fuel.target_lamda: { at: 0x0100, type: u16, scale: 0.001 }',
    remedy: 'Write the path as in an engine file: section, then key, separated by dots.',
    basis: 'The file format.',
  },
  *find({ storage }) {
    for (const [key, field] of Object.entries(storage?.fields ?? {})) {
      const at = keyNode(nodeOf(field));
      const { path } = placeOfField(key);
      const prefix = key.slice(0, key.length - path.length);
      const steps = path.split('.');
      const { known, shape, isValue } = followPath(steps);
      const start = steps.slice(0, known).join('.');
      if (known < steps.length && isValue) {
        const fixes = storage?.fields?.[prefix + start]
          ? []
          : [renaming(at, prefix + start, [(prefix + start).length, key.length], '')];
        yield {
          at,
          message: `A field stores ${quote(start)} as a whole, so its path must end there.`,
          fixes,
        };
      } else if (known < steps.length) {
        const step = steps[known]!;
        const name = nearestWord(step, shape.properties.keys());
        const from = key.length - steps.slice(known).join('.').length;
        const fixed = prefix + [...steps.slice(0, known), name, ...steps.slice(known + 1)].join('.');
        yield {
          at,
          message: `${start === '' ? 'Engine files have' : `${quote(start)} has`} no key ${quote(step)}, so this field stores nothing.`,
          fixes: name === undefined ? [] : [renaming(at, fixed, [from, from + step.length], name)],
        };
      } else if (!isValue) {
        yield { at, message: `${quote(path)} is a section; a field stores one value, curve or map.` };
      } else if (kindsOf(shape, 'values').length === 0 && !field.codes) {
        yield {
          at,
          message: `${quote(path)} is a word; its field needs \`codes\` with the number of each word.`,
        };
      }
    }
  },
});

/** Replaces part of the key; `path` is the result. */
function renaming(key: Node, path: string, [start, end]: readonly [number, number], text: string): Fix {
  const edits = key.type === 'scalar' ? [replace(spanInScalar(key, start, end), text)] : [];
  return { title: `Rename to ${quote(path)}`, safety: 'choice', edits };
}

/** Which setting of a part does not fit: its scale or its offset. */
const roleOf = ({ scale }: FieldPart, misfit: QuantityValue): string =>
  misfit === scale ? 'scale' : 'offset';

export const fieldScaleMisfit: Check = fileCheck({
  id: 'field-scale-misfit',
  severity: 'error',
  title: 'Field scale does not fit value',
  page: {
    catches:
      'A scale or offset of a different quantity from the value: milliseconds for a pressure, or a gauge offset for an absolute pressure. A scale of zero. A temperature whose scale is not in K or whose offset is missing. The finding is in the controller file if that file alone shows it, otherwise at the value in the engine file.',
    why: 'Such a value cannot be converted to a count. A gauge pressure that is stored as absolute is wrong by an atmosphere, and 0 °C stored as 0 K by 273 degrees.',
    example: 'fields:\n  boost.overboost_cut: { at: 0x0100, type: u16, scale: 0.1 ms }',
    remedy:
      'Write scale and offset in units of the value; a pressure needs the same pressure reference as the value. Write the scale of a temperature in K and its offset in °C or K.',
    basis: 'Arithmetic: the value is offset plus count times scale.',
  },
  *find({ installation, controller }) {
    if (installation) {
      yield* misfitValues(keptParts(installation));
      return;
    }
    for (const [path, field] of Object.entries(controller?.storage?.fields ?? {})) {
      const shape = valueShapeAt(placeOfField(path).path);
      for (const part of shape ? partsOf(field) : []) {
        const kinds = kindsOf(shape!, part.name);
        const misfit = kinds.length > 0 ? scaleOfWrongKind(part, kinds) : undefined;
        const of = part.name === 'values' ? quote(path) : `axis \`${part.name}\` of ${quote(path)}`;
        if (misfit) {
          const wanted = listOf(kinds.map(describeKind), 'or');
          yield {
            at: misfit.node,
            message: `The ${roleOf(part, misfit)} of ${of} is ${quote(misfit.node.text)}; it must be ${wanted}.`,
          };
        } else if (part.scale?.quantity.number === 0) {
          yield {
            at: part.scale.node,
            message: `The scale of ${of} is zero, so every count has the same value.`,
          };
        } else if (kinds.includes('temperature')) {
          yield* temperatureFaults(part, of);
        }
      }
    }
  },
});

/** A scale that is not a temperature difference, or whose zero is not stated. */
function* temperatureFaults({ name, scale, offset }: FieldPart, of: string): Generator<Found> {
  if (scale?.quantity.unit?.dimension !== 'temperature') return;
  const key = name === 'values' ? 'offset' : `${name}_offset`;
  const zeros = offset ? [] : zeroReadings(scale, key);
  if (scale.quantity.unit.symbol !== 'K') yield scaleInKelvin(scale, `The scale of ${of}`, zeros);
  else if (!offset) {
    yield {
      at: scale.node,
      message: `The scale of ${of} is ${scale.node.text}, but \`${key}\` is missing, so a count of zero may be 0 °C or 0 K.`,
      fixes: zeros,
    };
  }
}

/** Values whose unit or reference does not fit a scale or offset that is valid for the key. */
function* misfitValues(kept: readonly KeptPart[]): Generator<Found> {
  for (const { path, part, written, value } of kept) {
    const [first] = written.numbers;
    const misfit = first && scaleOfWrongUnit(part, first.unit);
    const shape = valueShapeAt(path);
    if (!misfit || !shape || scaleOfWrongKind(part, kindsOf(shape, part.name))) continue;
    const what =
      part.name === 'values' ? nameOf(value.node) : `Axis \`${part.name}\` of ${nameOf(value.node)}`;
    const unit = first.unit === '' ? 'without a unit' : `in ${first.unit}`;
    yield {
      at: value.type === 'table' && part.name === 'values' ? (value.unitNode ?? value.node) : first.node,
      message: `${what} is written ${unit}; its field cannot store that with the ${roleOf(part, misfit)} ${quote(misfit.node.text)}.`,
      related: [{ at: misfit.node, message: `The ${roleOf(part, misfit)} of the field.` }],
    };
  }
}

/** Fewer than usual, because paths are long. */
const namesOf = (paths: readonly string[]): string => listed(paths.map(quote), 6);

export const fieldWithoutValue: Check = engineCheck({
  id: 'field-without-value',
  severity: 'warning',
  title: 'Storage field without a value',
  page: {
    catches:
      'Storage fields of the controller for which the engine file, its base files and its map sets have no value.',
    why: 'The controller uses whatever is in those bytes: the value of a previous engine, or erased memory, which may be a warm-up enrichment of several thousand per cent.',
    example:
      '# the controller stores fuel.warm_up_enrichment, and the engine file has none\nfuel:\n  grade: mogas-e5',
    remedy:
      'Add the value, even if it changes nothing (`100 %` for an unwanted correction), or accept the finding with the reason why the controller does not use the field.',
    basis: 'Common practice, no source.',
  },
  *find({ installation }) {
    const { engines, configuration, controller } = installation;
    const fields = Object.entries(controller?.storage?.fields ?? {});
    const empty = fields.filter(([key, { codes }]) => {
      const place = placeOfField(key);
      const { path, set } = place;
      const shape = valueShapeAt(path);
      if (!shape || (kindsOf(shape, 'values').length === 0 && !codes)) return false;
      const stored = set === undefined ? engines : [engineOf(installation, place)];
      return stored.every(
        ({ configuration }) =>
          valueAtPath(configuration, path.split('.')) === undefined && !writtenAt(configuration, path),
      );
    });
    if (empty.length === 0 || !configuration.controller) return;
    yield {
      at: configuration.controller.node,
      message: `The controller stores ${namesOf(empty.map(([path]) => path))}, but this engine has no value for ${empty.length === 1 ? 'it' : 'them'}.`,
      related: empty.map(([path, field]) => ({ at: nodeOf(field), message: `Field of ${quote(path)}.` })),
    };
  },
});

/** The sections that a controller uses; the others describe the engine, its wiring and what is computed from both. */
const RUN_ON = ['fuel', 'ignition', 'boost', 'closed_loop', 'protection'] as const;

export const valueWithoutField: Check = engineCheck({
  id: 'value-without-field',
  severity: 'information',
  title: 'Values without a storage field',
  page: {
    catches:
      'Curves, maps and single values of `fuel`, `ignition`, `boost`, `closed_loop` and `protection` without a field in the controller’s storage. Nothing is reported for a controller file without fields.',
    why: 'Such a value is checked but never reaches the controller, so it has to be set there in another way.',
    example:
      '# the storage of the controller has no field for it\nfuel:\n  overrun_cut: { above: 2200 rpm, below: 35 kPa abs }',
    remedy:
      'Add the field if the controller stores the value; otherwise set it with the controller’s own tools.',
    basis: 'The controller file lists its fields.',
  },
  *find({ installation: { configuration, controller } }) {
    const fields = controller?.storage?.fields;
    if (!fields || Object.keys(fields).length === 0 || !configuration.controller) return;
    const stored = new Set(Object.keys(fields).map((key) => placeOfField(key).path));
    const left = RUN_ON.flatMap((name) => [...numbersBelow(configuration[name], name)]).filter(
      ([path]) => !stored.has(path),
    );
    const tables = left.filter(([, value]) => value.type === 'table').map(([path]) => path);
    const singles = left.length - tables.length;
    if (left.length === 0) return;
    const single = singles > 0 ? counted(singles, 'scalar value') : '';
    const table = tables.length > 0 ? namesOf(tables) : '';
    yield {
      at: configuration.controller.node,
      message: `The controller has no storage field for ${[table, single].filter(Boolean).join(' and ')} of this engine.`,
    };
  },
});

/** Every numeric value below a section, with its path. */
function* numbersBelow(bound: unknown, path: string): Generator<[path: string, value: Value]> {
  if (typeof bound !== 'object' || bound === null) return;
  if (nodesOf(bound).length > 0) {
    for (const [key, below] of Object.entries(bound)) yield* numbersBelow(below, `${path}.${key}`);
    return;
  }
  const value = bound as Value;
  if (['quantity', 'range', 'relation', 'table'].includes(value.type)) yield [path, value];
}
