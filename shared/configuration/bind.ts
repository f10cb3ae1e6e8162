import { bareObject } from '../bare-object.ts';
import { internList, memo } from '../memo.ts';
import { isFault, parseAs, parseRange, parseTolerant, type Quantity } from '../quantity/index.ts';
import type { Kind } from '../quantity/kinds.ts';
import type { MappingNode, Node, ScalarNode, SequenceNode } from '../source/tree.ts';
import type { BindingFault } from './binding-fault.ts';
import { boundsOf, isInside } from './bounds.ts';
import { commaSplits } from './comma.ts';
import type { Reading, ReadingTree } from './readings.ts';
import { childShape, type Shape } from './shape.ts';
import { bindTable } from './table.ts';
import {
  type FlagValue,
  type ListValue,
  type QuantityValue,
  type RelationPoint,
  rememberNodes,
  type Value,
} from './values.ts';

/**
 * Marks a value that is still to be filled in. It is neither a valid number nor a keyword of the format, so it is never
 * read as a value.
 */
export const PLACEHOLDER = '…';

export interface Binding {
  readonly readings: ReadingTree;
  readonly faults: readonly BindingFault[];
}

/**
 * Binds the layers of one place, the base file first. Mappings are merged key by key; anything else comes from the
 * topmost layer that has it. Unreadable values are left out and listed in the faults. Wrong types are reported by the
 * schema validator, which checks each file as written.
 */
export function bind(shape: Shape, layers: readonly Node[]): { value: unknown } & Binding {
  const binder = new Binder();
  const value = binder.place(shape, layers);
  return { value, readings: { items: binder.items }, faults: binder.faults };
}

interface Leaf {
  readonly value: Value | undefined;
  readonly reading: Reading | undefined;
  readonly faults: readonly BindingFault[];
}

/**
 * The reading of a node for a shape. Unchanged nodes survive an edit, so only what changed is read again. A value in a
 * map set is read for two shapes: the map set's own and that of the value it overrides.
 */
const leafOf = memo((shape: Shape, node: Node): Leaf => {
  const faults: BindingFault[] = [];
  const value = bindLeaf(shape, node, faults);
  const isNonsense = value?.type === 'quantity' && isOutOfBounds(shape, value);
  return {
    // A physically impossible value is not used for computation, but it keeps its reading for hovers and checks.
    value: isNonsense ? undefined : value,
    faults: kept(faults),
    reading: value && { node, shape, value },
  };
});

/** The reading of a node for a shape; undefined if it cannot be read. */
export const readingOf = (shape: Shape, node: Node): Reading | undefined =>
  isLeaf(shape) ? leafOf(shape, node).reading : undefined;

interface Section extends ReadingTree {
  readonly bound: object;
  readonly faults: readonly BindingFault[];
}

const NONE: readonly never[] = [];

/** A list without spare capacity; all empty lists are one object. */
const kept = <Item>(list: readonly Item[]): readonly Item[] => (list.length > 0 ? list.slice() : NONE);

class Binder {
  readonly items: (Reading | ReadingTree)[] = [];
  readonly faults: BindingFault[] = [];

  place(shape: Shape, layers: readonly Node[]): unknown {
    const top = layers.at(-1);
    if (!top) return undefined;
    if (shape.items && top.type === 'sequence') return this.#list(shape.items, top);
    if (isLeaf(shape)) return this.#leaf(shape, top);
    if (shape.items && shape.properties.size === 0) return undefined;
    const mappings = layers.filter((layer) => layer.type === 'mapping');
    return mappings.length > 0 ? this.#section(shape, mappings) : undefined;
  }

  #section(shape: Shape, mappings: readonly MappingNode[]): object {
    const section = bindSection(shape, internList(mappings));
    if (section.items.length > 0) this.items.push(section);
    for (const fault of section.faults) this.faults.push(fault);
    return section.bound;
  }

  #list(items: Shape, node: SequenceNode): ListValue<unknown> {
    const bound = node.items.map((item) => this.place(items, [item])).filter((item) => item !== undefined);
    return { type: 'list', node, items: bound };
  }

  #leaf(shape: Shape, node: Node): Value | undefined {
    const leaf = leafOf(shape, node);
    for (const fault of leaf.faults) this.faults.push(fault);
    if (leaf.reading) this.items.push(leaf.reading);
    return leaf.value;
  }
}

/** Binds the layers of a section. A section that did not change is the same object again. */
const bindSection = memo((shape: Shape, mappings: readonly MappingNode[]): Section => {
  const binder = new Binder();
  const { items, faults } = binder;
  const bound = bareObject();
  const byKey = layersByKey(mappings);
  for (const [name, layers] of byKey) {
    const child = childShape(shape, name);
    const value = child && binder.place(child, layers);
    if (value !== undefined) bound[name] = value;
  }
  const mapping = mappings.at(-1)!;
  const valueAt = (key: string) => comparedValue(byKey.get(key)?.at(-1));
  for (const key of new Set([...shape.required, ...shape.requiredWith(valueAt)])) {
    if (byKey.has(key)) continue;
    faults.push({ type: 'missing-key', mapping, key, shape: childShape(shape, key) ?? shape });
  }
  return { bound: rememberNodes(bound, mappings), items: kept(items), faults: kept(faults) };
});

/** The values of each key in the mappings that have it; of a duplicate key, the first is used. */
function layersByKey(mappings: readonly MappingNode[]): Map<string, readonly Node[]> {
  const byKey = new Map<string, Node[]>();
  for (const mapping of mappings) {
    for (const { key, value } of mapping.entries) {
      const layers = byKey.get(key.text);
      if (!layers) byKey.set(key.text, [value]);
      else if (mapping.entry(key.text)?.key === key) layers.push(value);
    }
  }
  return byKey;
}

/** The value that a condition of the schema compares; of a mapping or list, only that it is there counts. */
function comparedValue(node: Node | undefined): unknown {
  return node?.type === 'scalar' ? node.value : node;
}

export function isLeaf(shape: Shape): boolean {
  return (
    shape.quantity !== undefined ||
    shape.range !== undefined ||
    shape.table !== undefined ||
    shape.relation !== undefined ||
    shape.choices !== undefined ||
    (shape.primitive !== undefined && shape.primitive !== 'object' && shape.primitive !== 'array')
  );
}

function bindLeaf(shape: Shape, node: Node, faults: BindingFault[]): Value | undefined {
  if (node.type === 'mapping') {
    if (shape.table) return bindTable(shape.table, shape, node, faults);
    return shape.relation ? bindRelation(shape, node, faults) : undefined;
  }
  if (node.type !== 'scalar' || node.style === 'empty') return undefined;
  if (shape.quantity) {
    const quantity = readQuantity(shape, shape.quantity, node, faults, parseTolerant);
    return (
      quantity && { type: 'quantity', node, kind: shape.quantity, quantity, canonical: quantity.canonical }
    );
  }
  if (shape.range) {
    const range = parseRange(shape.range, node.text);
    if (!isFault(range)) return { type: 'range', node, kind: shape.range, low: range.low, high: range.high };
    faults.push({ type: 'quantity', node, kind: shape.range, shape, fault: range });
    return undefined;
  }
  // A scalar instead of a curve is reported by the validator.
  if (shape.table || shape.relation) return undefined;
  if (node.text === PLACEHOLDER && shape.primitive === 'string' && !shape.choices) {
    faults.push({ type: 'placeholder', node, shape });
    return undefined;
  }
  return bindPrimitive(shape, node, faults);
}

function bindPrimitive(shape: Shape, node: ScalarNode, faults: BindingFault[]): Value | undefined {
  if (shape.primitive === 'boolean')
    return typeof node.value === 'boolean' ? flag(node, node.value) : undefined;
  if (shape.primitive === 'integer' || shape.primitive === 'number') {
    if (typeof node.value !== 'number') return undefined;
    const quantity = readQuantity(shape, 'number', node, faults);
    return quantity && { type: 'quantity', node, kind: 'number', quantity, canonical: quantity.canonical };
  }
  if (shape.choices && !shape.choices.includes(node.value as string)) return undefined;
  return node.value === null ? undefined : { type: 'text', node, text: node.text };
}

const flag = (node: ScalarNode, value: boolean): FlagValue => ({ type: 'flag', node, flag: value });

/** Reads a scalar as a quantity of the kind, or adds a fault. */
export function readQuantity(
  shape: Shape,
  kind: Kind,
  node: ScalarNode,
  faults: BindingFault[],
  parse: typeof parseAs = parseAs,
): Quantity | undefined {
  if (typeof node.value === 'boolean' || node.value === null) return undefined;
  const read = parse(kind, node.text);
  if (!isFault(read)) return read;
  faults.push({ type: 'quantity', node, kind, shape, fault: read });
  return undefined;
}

function bindRelation(shape: Shape, node: MappingNode, faults: BindingFault[]): Value {
  const { from, to } = shape.relation!;
  const points: RelationPoint[] = [];
  const splits = commaSplits(node);
  for (const split of splits) faults.push({ type: 'comma', node: split.last, ...split });
  const spoilt = new Set(splits.flatMap((split) => split.spoilt));
  for (const { key, value } of node.entries) {
    if (value.type !== 'scalar' || spoilt.has(key) || spoilt.has(value)) continue;
    const left = readQuantity(shape, from, key, faults);
    const right = readQuantity(shape, to, value, faults);
    if (left && right) points.push({ from: left, to: right, key, value });
  }
  return { type: 'relation', node, points };
}

function isOutOfBounds(shape: Shape, { node, kind, quantity, canonical }: QuantityValue): boolean {
  const { least, most } = shape.limits;
  // Removing an item would change the meaning of a list.
  if (node.parent?.type === 'mapping' && (canonical < least || canonical > most)) return true;
  const physical = boundsOf(shape, 'physical', kind);
  return physical !== undefined && !isInside(physical, quantity);
}
