import {
  memberValidators,
  outlineValidators,
  type Validator,
  validators,
} from '../../generated/validators.mjs';
import { memo } from '../memo.ts';
import {
  childOf,
  type MappingNode,
  type Node,
  nodeAtPath,
  type PathStep,
  pathOf,
  pathText,
  plainValue,
  type ScalarNode,
} from '../source/tree.ts';
import type { FileKind } from './project.ts';

/** Where an alias repeats a value, and where the value is written. */
export interface Repetition {
  /** The key of the alias; for an alias in a list, the list. */
  readonly at: Node;
  readonly path: readonly PathStep[];
  readonly of: Node;
}

/** One error of the schema validator about the file as it is written. */
export type StructureFault = (
  | { readonly type: 'unknown-key'; readonly key: ScalarNode; readonly mapping: MappingNode }
  | {
      readonly type: 'wrong-type';
      readonly node: Node;
      /** The schema keyword that is violated (`type`, `enum`, `minItems`, …) and its parameters. */
      readonly keyword: string;
      readonly params: Readonly<Record<string, unknown>>;
    }
) & {
  /** The place where the value is invalid, if only an alias puts it there. */
  readonly repeated?: Repetition;
};

interface ValidatorError {
  readonly instancePath: string;
  readonly keyword: string;
  readonly params: Readonly<Record<string, unknown>>;
}

/**
 * Validates a file against its schema, section by section. Missing keys are not checked here, because an overlay need not
 * repeat the keys of its base file; they are found when the layers are bound.
 */
export function validate(kind: FileKind, root: MappingNode): StructureFault[] {
  const faults = root.entries.flatMap(({ key, value }): readonly StructureFault[] => {
    const name = key.text;
    if (!Object.hasOwn(validators[kind], name)) return [{ type: 'unknown-key', key, mapping: root }];
    const own = judgeSection(kind, name, value);
    const repeated = repetition([name], key, value);
    return repeated ? own.map((fault) => ({ repeated, ...fault })) : own;
  });
  const there = new Set(faults.map((fault) => (fault.repeated ? undefined : wrongNode(fault))));
  // A value that is invalid where it is written is reported there.
  return faults.filter((fault) => !fault.repeated || !there.has(wrongNode(fault)));
}

const wrongNode = (fault: StructureFault): Node => (fault.type === 'unknown-key' ? fault.key : fault.node);

/** A section without its members, if these are validated separately, and each of its members. */
const judgeSection = memo((kind: FileKind, name: string, section: Node): readonly StructureFault[] => {
  const places = memberValidators[kind].flatMap(({ section: its, path, validator }) => {
    const node = its === name ? nodeAtPath(section, path) : undefined;
    return node?.type === 'mapping' ? [{ node, validator }] : [];
  });
  if (places.length === 0) return judge(validators[kind][name]!, section);
  const apart = new Set<Node>(places.map(({ node }) => node));
  const outline = judge(outlineValidators[kind][name]!, section, apart);
  const members = places.flatMap(({ node, validator }) =>
    node.counted.flatMap(({ value }) => judgeMember(validator, value)),
  );
  return [...outline, ...members];
});

const judgeMember = memo((validator: Validator, value: Node) => judge(validator, value));

/** Validates a node; parts that are validated separately count as empty. */
function judge(validator: Validator, value: Node, apart?: ReadonlySet<Node>): StructureFault[] {
  if (validator(plainValue(value, apart))) return [];
  const faults: StructureFault[] = [];
  for (const error of (validator.errors ?? []) as ValidatorError[]) {
    const steps = error.instancePath.split('/').slice(1).map(unescapePointer);
    const place = placeBelow(value, steps);
    const fault = place && structureFault(error, place.node);
    if (fault) faults.push(place.repeated ? { ...fault, repeated: place.repeated } : fault);
  }
  return faults;
}

/** The node that steps lead to, and the first alias on the way there. */
function placeBelow(value: Node, steps: readonly string[]) {
  let node: Node = value;
  let repeated: Repetition | undefined;
  for (const step of steps) {
    const around = node;
    const child = childOf(around, step);
    if (!child) return undefined;
    const key = around.type === 'mapping' ? around.entry(step)!.key : around;
    repeated ??= repetition(
      [...pathOf(around), around.type === 'sequence' ? Number(step) : step],
      key,
      child,
    );
    node = child;
  }
  return { node, repeated };
}

/** Undefined unless the value at a path is written elsewhere. */
function repetition(path: readonly PathStep[], at: Node, value: Node): Repetition | undefined {
  return pathText(pathOf(value)) === pathText(path) ? undefined : { at, path, of: value };
}

const unescapePointer = (step: string): string => step.replaceAll('~1', '/').replaceAll('~0', '~');

/** Keywords that only summarize other errors. */
const SUMMARIES = new Set(['if', 'anyOf', 'oneOf', 'allOf', 'required']);

function structureFault({ keyword, params }: ValidatorError, node: Node): StructureFault | undefined {
  if (SUMMARIES.has(keyword)) return undefined;
  if (keyword === 'additionalProperties' && node.type === 'mapping') {
    const entry = node.entry(String(params.additionalProperty));
    return entry && { type: 'unknown-key', key: entry.key, mapping: node };
  }
  return { type: 'wrong-type', node, keyword, params };
}
