import { type Validator, validators } from '../../generated/validators.mjs';
import {
  type Entry,
  type MappingNode,
  type Node,
  nodeAtPath,
  plainValue,
  type ScalarNode,
} from '../source/tree.ts';
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

/** Sections are judged apart, and a section that was not touched keeps its judgement. */
const judged = new WeakMap<Node, readonly StructureFault[]>();

/**
 * Holds a file against its schema, section by section. That a required key is missing is not asked here: an overlay
 * need not repeat what its base has, so that is seen when the layers are bound.
 */
export function validate(kind: FileKind, root: MappingNode): StructureFault[] {
  return root.entries.flatMap((entry) => {
    const name = entry.key.text;
    const validator = Object.hasOwn(validators[kind], name) ? validators[kind][name] : undefined;
    // Not kept: the root is another one with every version.
    if (!validator) return [{ type: 'unknown-key', key: entry.key, mapping: root }];
    let faults = judged.get(entry.value);
    if (!faults) {
      faults = judge(validator, entry);
      judged.set(entry.value, faults);
    }
    return faults;
  });
}

function judge(validator: Validator, { value }: Entry): StructureFault[] {
  if (validator(plainValue(value))) return [];
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
