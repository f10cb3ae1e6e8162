import { nodeOf } from '../configuration/values.ts';
import { type Node, pathOf, pathText } from '../source/tree.ts';

/** The node of a bound value or section, and its dotted key path: where a derived value of the file belongs. */
export function placeOf(bound: object): [node: Node, at: string] {
  return placeOfNode(nodeOf(bound));
}

export function placeOfNode(node: Node): [node: Node, at: string] {
  return [node, pathText(pathOf(node))];
}
