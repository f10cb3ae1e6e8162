import type { Position } from 'vscode-languageserver/node';
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

/** What stands under the cursor: a key or a value, and what its place may hold. */
export interface Spot {
  readonly node: ScalarNode;
  readonly isKey: boolean;
  /** The value itself, or what the key leads to. */
  readonly value: Node;
  readonly path: readonly PathStep[];
  readonly shape: Shape | undefined;
}

/** The scalar under the cursor; undefined between words, in comments and in what could not be read. */
export function spotAt(analysis: Analysis, position: Position): Spot | undefined {
  const { file } = analysis;
  const node = nodeAtOffset(file, file.lines.offset(position));
  if (node?.type !== 'scalar') return undefined;
  const path = namedPath(node);
  const isKey = mappingOfKey(node) !== undefined;
  const value = isKey ? (nodeAtPath(file.root, path) ?? node) : node;
  return { node, isKey, value, path, shape: shapeAt(rootShape(analysis.kind), path) };
}

/** The path of a value; of a key, that of what it names. */
export function namedPath(node: Node): PathStep[] {
  const mapping = mappingOfKey(node);
  return mapping ? [...pathOf(mapping), (node as ScalarNode).text] : pathOf(node);
}
