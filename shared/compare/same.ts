import { referenceTo, resolvePath } from '../configuration/project.ts';
import { sameAxis, sameValue } from '../configuration/same-value.ts';
import type { Axis, TableValue, TextValue, Value } from '../configuration/values.ts';
import { type Node, plainValue } from '../source/tree.ts';
import type { Leaf } from './item.ts';

/** Whether two values are equal, whatever their unit, order or layout. */
export function sameLeaf(a: Leaf, b: Leaf): boolean {
  if (a.shape?.file && a.value?.type === 'text' && b.value?.type === 'text')
    return reference(a.value) === reference(b.value);
  if (isWhole(a.value) && isWhole(b.value)) return sameValue(a.value, b.value);
  if (a.value?.type !== b.value?.type) return false;
  const isUnordered = a.shape?.isUnordered ?? false;
  return itemsText(a.node, isUnordered) === itemsText(b.node, isUnordered);
}

/** A file path in normal form: `x` and `./y/../x` become `./x`. */
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
 * Whether a value was bound completely, so that comparing the bound value misses nothing.
 */
function isWhole(value: Value | undefined): boolean {
  if (value?.type === 'relation') return value.points.length === value.node.entries.length;
  if (value?.type === 'table') return value.cells !== undefined;
  // The members of a list may be anything, so their text is compared.
  return value !== undefined && value.type !== 'list';
}

/**
 * Whether two complete tables have the same quantities, so that their cells can be compared.
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

/** A tree as one line with sorted keys, so that equal trees have equal texts. */
export function plainText(node: Node): string {
  return JSON.stringify(plainValue(node), (_, value: unknown) => {
    if (typeof value !== 'object' || value === null || Array.isArray(value)) return value;
    return Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)));
  });
}
