import {
  memberValidators,
  outlineValidators,
  type Validator,
  validators,
} from '../../generated/validators.mjs';
import { memo } from '../memo.ts';
import { type MappingNode, type Node, nodeAtPath, plainValue, type ScalarNode } from '../source/tree.ts';
import type { FileKind } from './project.ts';

/** One complaint of the schema's validator about the file as it is written. */
export type StructureFault =
  | { readonly type: 'unknown-key'; readonly key: ScalarNode; readonly mapping: MappingNode }
  | {
      readonly type: 'wrong-type';
      readonly node: Node;
      /** The schema keyword that objects (`type`, `enum`, `minItems`, …) and what it asks for. */
      readonly keyword: string;
      readonly params: Readonly<Record<string, unknown>>;
    };

interface ValidatorError {
  readonly instancePath: string;
  readonly keyword: string;
  readonly params: Readonly<Record<string, unknown>>;
}

/**
 * Holds a file against its schema, section by section. That a required key is missing is not asked here: an overlay
 * need not repeat what its base has, so that is seen when the layers are bound.
 */
export function validate(kind: FileKind, root: MappingNode): StructureFault[] {
  return root.entries.flatMap((entry): readonly StructureFault[] => {
    const name = entry.key.text;
    return Object.hasOwn(validators[kind], name)
      ? judgeSection(kind, name, entry.value)
      : [{ type: 'unknown-key', key: entry.key, mapping: root }];
  });
}

/** A section without its members, where these are many and stand apart, and each of them by itself. */
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

/** Judges a node, where what stands apart in it counts as empty. */
function judge(validator: Validator, value: Node, apart?: ReadonlySet<Node>): StructureFault[] {
  if (validator(plainValue(value, apart))) return [];
  const faults: StructureFault[] = [];
  for (const error of (validator.errors ?? []) as ValidatorError[]) {
    const steps = error.instancePath.split('/').slice(1).map(unescapePointer);
    const node = nodeAtPath(value, steps);
    const fault = node && structureFault(error, node);
    if (fault) faults.push(fault);
  }
  return faults;
}

const unescapePointer = (step: string): string => step.replaceAll('~1', '/').replaceAll('~0', '~');

/** Keywords that only sum up what the errors beside them already say. */
const SUMMARIES = new Set(['if', 'anyOf', 'oneOf', 'allOf', 'required']);

function structureFault({ keyword, params }: ValidatorError, node: Node): StructureFault | undefined {
  if (SUMMARIES.has(keyword)) return undefined;
  if (keyword === 'additionalProperties' && node.type === 'mapping') {
    const entry = node.entry(String(params.additionalProperty));
    return entry && { type: 'unknown-key', key: entry.key, mapping: node };
  }
  return { type: 'wrong-type', node, keyword, params };
}
