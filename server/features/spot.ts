import type { Position } from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import { rootShape } from '../../shared/configuration/schemas.ts';
import { type Shape, shapeAt } from '../../shared/configuration/shape.ts';
import { nodeAtOffset } from '../../shared/source/source-file.ts';
import {
  mappingOfKey,
  type Node,
  nodeAtPath,
  type PathStep,
  pathOf,
  type ScalarNode,
} from '../../shared/source/tree.ts';

/** The key or value under the cursor, and the shape of its place. */
export interface Spot {
  readonly node: ScalarNode;
  readonly isKey: boolean;
  /** The value itself, or the value of the key. */
  readonly value: Node;
  readonly path: readonly PathStep[];
  readonly shape: Shape | undefined;
}

/** The scalar under the cursor; undefined between words, in comments and in text that could not be parsed. */
export function spotAt(analysis: Analysis, position: Position): Spot | undefined {
  const { file } = analysis;
  const node = nodeAtOffset(file, file.lines.offset(position));
  if (node?.type !== 'scalar') return undefined;
  const path = namedPath(node);
  const isKey = mappingOfKey(node) !== undefined;
  const value = isKey ? (nodeAtPath(file.root, path) ?? node) : node;
  return { node, isKey, value, path, shape: shapeAt(rootShape(analysis.kind), path) };
}

/** The path of a value; for a key, the path of its value. */
export function namedPath(node: Node): PathStep[] {
  const mapping = mappingOfKey(node);
  return mapping ? [...pathOf(mapping), (node as ScalarNode).text] : pathOf(node);
}
