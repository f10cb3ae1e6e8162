import type { Chunk, Node, PathStep, ScalarNode } from '../source/tree.ts';
import { childShape, type Shape, shapeAt } from './shape.ts';

/** Called for each key and scalar of a text, with its shape and path. */
export interface Visitor {
  /** A value, its shape, and the shape of the mapping or list around it. */
  value(
    node: ScalarNode,
    shape: Shape | undefined,
    path: readonly PathStep[],
    around: Shape | undefined,
  ): void;
  /** A key and the shape of its mapping; `path` is that of the key's value. */
  key(key: ScalarNode, around: Shape | undefined, path: readonly PathStep[]): void;
}

/**
 * Visits all keys and values of a chunk in the order of the text. The target of an alias is visited where it is
 * written.
 */
export function visitChunk(chunk: Chunk, root: Shape, visitor: Visitor): void {
  visit(chunk.root, shapeAt(root, chunk.prefix), chunk.prefix, undefined, visitor);
}

function visit(
  node: Node,
  shape: Shape | undefined,
  path: readonly PathStep[],
  around: Shape | undefined,
  visitor: Visitor,
): void {
  if (node.type === 'scalar') {
    if (node.style !== 'empty') visitor.value(node, shape, path, around);
  } else if (node.type === 'sequence') {
    node.items.forEach((item, i) => {
      if (item.parent === node) visit(item, shape?.items, [...path, i], shape, visitor);
    });
  } else {
    for (const { key, value } of node.entries) {
      const below = [...path, key.text];
      visitor.key(key, shape, below);
      if (value.parent === node && value.start >= key.end) {
        visit(value, childShape(shape, key.text), below, shape, visitor);
      }
    }
  }
}
