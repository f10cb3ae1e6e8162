import { referenceTo, resolvePath } from '../configuration/project.ts';
import { sameAxis, sameValue } from '../configuration/same-value.ts';
import type { Axis, TableValue, TextValue, Value } from '../configuration/values.ts';
import { type Node, plainValue } from '../source/tree.ts';
import type { Leaf } from './item.ts';

/** Whether two values say the same, in whatever unit, order or layout they are written. */
export function sameLeaf(a: Leaf, b: Leaf): boolean {
  if (a.shape?.file && a.value?.type === 'text' && b.value?.type === 'text')
    return reference(a.value) === reference(b.value);
  if (isWhole(a.value) && isWhole(b.value)) return sameValue(a.value, b.value);
  if (a.value?.type !== b.value?.type) return false;
  const isUnordered = a.shape?.isUnordered ?? false;
  return itemsText(a.node, isUnordered) === itemsText(b.node, isUnordered);
}

/** The path of a file in one spelling: `x` and `./y/../x` are `./x`. */
function reference({ node, text }: TextValue): string {
  const { file } = node.chunk;
  return referenceTo(resolvePath(file, text), file);
}

function itemsText(node: Node, isUnordered: boolean): string {
  return isUnordered && node.type === 'sequence'
    ? node.items.map(plainText).sort().join('\n')
    : plainText(node);
}

/**
 * Whether all of a value could be read, so that nothing of it is missed where only what was read is compared.
 */
function isWhole(value: Value | undefined): boolean {
  if (value?.type === 'relation') return value.points.length === value.node.entries.length;
  if (value?.type === 'table') return value.cells !== undefined;
  // The members of a list may be anything; their text says all.
  return value !== undefined && value.type !== 'list';
}

/**
 * Whether two whole tables say the same kind of thing over the same quantities, so that cells may be held
 * together.
 */
export function comparable(a: TableValue, b: TableValue): boolean {
  return (
    a.cells !== undefined &&
    b.cells !== undefined &&
    a.kind === b.kind &&
    a.reference === b.reference &&
    sameMeaning(a.x, b.x) &&
    sameMeaning(a.y, b.y)
  );
}

function sameMeaning(a: Axis | undefined, b: Axis | undefined): boolean {
  return a?.quantity === b?.quantity && a?.reference === b?.reference;
}

export function sameBreakpoints(a: TableValue, b: TableValue): boolean {
  return sameAxis(a.x, b.x) && sameAxis(a.y, b.y);
}

/** A tree in one line, its keys in order, so that equal trees have equal texts. */
export function plainText(node: Node): string {
  return JSON.stringify(plainValue(node), (_, value: unknown) => {
    if (typeof value !== 'object' || value === null || Array.isArray(value)) return value;
    return Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)));
  });
}
