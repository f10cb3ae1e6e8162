import { nodeOf, nodesOf, type QuantityValue, type Value, valueAtPath } from '../configuration/values.ts';
import { describeKind, nearestWord } from '../quantity/index.ts';
import { replace } from '../source/edit.ts';
import { keyOf } from '../source/source-file.ts';
import { type Node, spanInScalar } from '../source/tree.ts';
import { misfitOf, misfitOfKinds } from '../storage/coding.ts';
import { type KeptPart, keptParts } from '../storage/kept-parts.ts';
import { type FieldPart, partsOf } from '../storage/layout.ts';
import { followPath, kindsOf, valueShapeAt } from '../storage/path.ts';
import { type Check, controllerCheck, engineCheck, type Fix, type Found, fileCheck } from './check.ts';
import { listOf, nameOf, quote } from './form-words.ts';

import { listed } from './words.ts';

export const fieldPathUnknown: Check = controllerCheck({
  id: 'field-path-unknown',
  severity: 'error',
  title: 'A field for something that no engine file has',
  page: {
    catches:
      'A field whose key path leads to no key of an engine file, to a whole section, or to a word instead of numbers.',
    why: 'Nothing is ever stored in such a field, and the value that was meant stays what it was in the controller.',
    example: 'fields:\n  fuel.target_lamda: { at: 0x0100, type: u16, scale: 0.001 }',
    remedy: 'Write the path as it leads through an engine file: section, then key, parted by points.',
    basis: 'The format of the files.',
  },
  *find({ storage }) {
    for (const [path, field] of Object.entries(storage?.fields ?? {})) {
      const at = keyOf(nodeOf(field)) ?? nodeOf(field);
      const steps = path.split('.');
      const { known, shape, isValue } = followPath(steps);
      const start = steps.slice(0, known).join('.');
      if (known < steps.length && isValue) {
        const fixes = storage?.fields?.[start] ? [] : [renaming(at, start, [start.length, path.length], '')];
        yield { at, message: `${quote(start)} is one value; a field keeps it as a whole.`, fixes };
      } else if (known < steps.length) {
        const step = steps[known]!;
        const name = nearestWord(step, shape.properties.keys());
        const from = path.length - steps.slice(known).join('.').length;
        const fixed = [...steps.slice(0, known), name, ...steps.slice(known + 1)].join('.');
        yield {
          at,
          message: `${start === '' ? 'An engine file' : quote(start)} has no key ${quote(step)}, so nothing is kept here.`,
          fixes: name === undefined ? [] : [renaming(at, fixed, [from, from + step.length], name)],
        };
      } else if (!isValue) {
        yield { at, message: `${quote(path)} is a section; a field keeps one of its values.` };
      } else if (kindsOf(shape, 'values').length === 0) {
        yield { at, message: `${quote(path)} is a word; a field keeps numbers.` };
      }
    }
  },
});

/** Puts another text in place of a stretch of the key; `path` is what it becomes. */
function renaming(key: Node, path: string, [start, end]: readonly [number, number], text: string): Fix {
  const edits = key.type === 'scalar' ? [replace(spanInScalar(key, start, end), text)] : [];
  return { title: `Rename to ${quote(path)}`, safety: 'choice', edits };
}

/** What is misfit of a part: its scale or its offset. */
const roleOf = ({ scale }: FieldPart, misfit: QuantityValue): string =>
  misfit === scale ? 'scale' : 'offset';

export const fieldScaleMisfit: Check = fileCheck({
  id: 'field-scale-misfit',
  severity: 'error',
  title: 'A field counts in something that its value is not',
  page: {
    catches:
      'A scale or offset of another kind than the value: milliseconds for a pressure, or an offset above ambient for a value from vacuum. A scale of zero as well. What the controller file alone shows is said there, the rest at the value in the engine file.',
    why: 'No count can be made of such a value. A gauge pressure kept as an absolute one is wrong by an atmosphere.',
    example: 'fields:\n  boost.overboost_cut: { at: 0x0100, type: u16, scale: 0.1 ms }',
    remedy: 'Write scale and offset in units of the value, a pressure with the reference that the value has.',
    basis: 'Arithmetic: offset plus count times scale must be such a value.',
  },
  *find({ installation, controller }) {
    if (installation) {
      yield* misfitValues(keptParts(installation));
      return;
    }
    for (const [path, field] of Object.entries(controller?.storage?.fields ?? {})) {
      const shape = valueShapeAt(path);
      for (const part of shape ? partsOf(field) : []) {
        const kinds = kindsOf(shape!, part.name);
        const misfit = kinds.length > 0 ? misfitOfKinds(part, kinds) : undefined;
        const of = part.name === 'values' ? quote(path) : `the axis ${part.name} of ${quote(path)}`;
        if (misfit) {
          const wanted = listOf(kinds.map(describeKind), 'or');
          yield {
            at: misfit.node,
            message: `The ${roleOf(part, misfit)} of ${of} is ${quote(misfit.node.text)}; it takes ${wanted}.`,
          };
        } else if (part.scale?.quantity.number === 0) {
          yield { at: part.scale.node, message: `The scale of ${of} is zero: no count has a value.` };
        }
      }
    }
  },
});

/** Values whose unit or reference does not go with a scale or offset that is right for others of their kind. */
function* misfitValues(kept: readonly KeptPart[]): Generator<Found> {
  for (const { path, part, written, value } of kept) {
    const [first] = written.numbers;
    const misfit = first && misfitOf(part, first.unit);
    const shape = valueShapeAt(path);
    if (!misfit || !shape || misfitOfKinds(part, kindsOf(shape, part.name))) continue;
    const what =
      part.name === 'values' ? nameOf(value.node) : `The axis ${part.name} of ${nameOf(value.node)}`;
    const unit = first.unit === '' ? 'as a bare number' : `in ${first.unit}`;
    yield {
      at: value.type === 'table' && part.name === 'values' ? (value.unitNode ?? value.node) : first.node,
      message: `${what} is written ${unit}; its field has the ${roleOf(part, misfit)} ${quote(misfit.node.text)} and cannot keep it.`,
      related: [{ at: misfit.node, message: 'How the controller counts.' }],
    };
  }
}

/** Paths are long words. */
const namesOf = (paths: readonly string[]): string => listed(paths.map(quote), 6);

export const fieldWithoutValue: Check = engineCheck({
  id: 'field-without-value',
  severity: 'warning',
  title: 'The controller keeps a value that the file does not give',
  page: {
    catches: 'Fields of the controller for which this engine, its base and its map sets have no value.',
    why: 'The controller uses whatever stands in those bytes: the value of the engine before, or a blank memory, which is a warm-up enrichment of several thousand per cent.',
    example:
      '# the controller keeps fuel.warm_up_enrichment, and the engine file has none\nfuel:\n  grade: mogas-e5',
    remedy:
      'Give the value, even where it changes nothing (`100 %` for a correction that is not wanted), or accept the finding with the reason why the controller does not use it.',
    basis: 'Common practice, no source.',
  },
  *find({ installation: { engines, configuration, controller } }) {
    const fields = Object.entries(controller?.storage?.fields ?? {});
    const empty = fields.filter(([path]) => {
      const shape = valueShapeAt(path);
      if (!shape || kindsOf(shape, 'values').length === 0) return false;
      return engines.every(
        ({ configuration }) =>
          valueAtPath(configuration, path.split('.')) === undefined && !isWrittenAt(configuration, path),
      );
    });
    if (empty.length === 0 || !configuration.controller) return;
    yield {
      at: configuration.controller.node,
      message: `The controller keeps ${namesOf(empty.map(([path]) => path))}, but this engine gives no such value.`,
      related: empty.map(([path, field]) => ({ at: nodeOf(field), message: `The field of ${quote(path)}.` })),
    };
  },
});

/** Whether something stands there, though it cannot be read: then that is what is wrong. */
function isWrittenAt(configuration: object, path: string): boolean {
  const steps = path.split('.');
  let section: unknown = configuration;
  for (const step of steps.slice(0, -1)) section = (section as Record<string, unknown> | undefined)?.[step];
  return (
    typeof section === 'object' &&
    section !== null &&
    nodesOf(section).some((layer) => layer.entry(steps.at(-1)!) !== undefined)
  );
}

/** The sections that a controller runs on; the others describe the engine, its wiring and what is computed from both. */
const RUN_ON = ['fuel', 'ignition', 'boost', 'closed_loop', 'protection'] as const;

export const valueWithoutField: Check = engineCheck({
  id: 'value-without-field',
  severity: 'information',
  title: 'Values that the controller has no field for',
  page: {
    catches:
      'How many curves, maps and single values of fuel, ignition, boost, loops and protection have no field in the controller’s storage. A controller file without fields is not asked.',
    why: 'Such a value takes part in every check and never reaches the controller: it must be set there in another way, or it is a wish.',
    example:
      '# the storage of the controller has no field for it\nfuel:\n  overrun_cut: { above: 2200 rpm, below: 35 kPa abs }',
    remedy:
      'Add the field if the controller keeps such a value; otherwise set it by the controller’s own means.',
    basis: 'The controller file lists its fields.',
  },
  *find({ installation: { configuration, controller } }) {
    const fields = controller?.storage?.fields;
    if (!fields || Object.keys(fields).length === 0 || !configuration.controller) return;
    const left = RUN_ON.flatMap((name) => [...numbersBelow(configuration[name], name)]).filter(
      ([path]) => !(path in fields),
    );
    const tables = left.filter(([, value]) => value.type === 'table').map(([path]) => path);
    const singles = left.length - tables.length;
    if (left.length === 0) return;
    const single = singles > 0 ? `${singles} single ${singles === 1 ? 'value' : 'values'}` : '';
    const table = tables.length > 0 ? namesOf(tables) : '';
    yield {
      at: configuration.controller.node,
      message: `The controller has no field for ${[table, single].filter(Boolean).join(', nor for ')} of this engine.`,
    };
  },
});

/** Every value below a section that is made of numbers, with its path. */
function* numbersBelow(bound: unknown, path: string): Generator<[path: string, value: Value]> {
  if (typeof bound !== 'object' || bound === null) return;
  if (nodesOf(bound).length > 0) {
    for (const [key, below] of Object.entries(bound)) yield* numbersBelow(below, `${path}.${key}`);
    return;
  }
  const value = bound as Value;
  if (['quantity', 'range', 'relation', 'table'].includes(value.type)) yield [path, value];
}
