import { memo } from '../memo.ts';
import { MappingNode, nodeAtPath, type ScalarNode } from '../source/tree.ts';

/** The key paths under `remove` of an overlay or a map set. */
export function removalsOf(layer: MappingNode): readonly ScalarNode[] {
  const list = layer.get('remove');
  return list?.type === 'sequence' ? list.items.filter((item) => item.type === 'scalar') : [];
}

/** The steps of a key path as it is written under `remove`: `sensors.knock`. */
export const removedPath = ({ text }: Pick<ScalarNode, 'text'>): readonly string[] => text.split('.');

/** The layers of an installation, lowest first, each without what those above it remove. */
export function withoutRemoved(
  layers: readonly MappingNode[],
  further: readonly ScalarNode[] = [],
): readonly MappingNode[] {
  const removed = [...further];
  const left: MappingNode[] = [];
  for (const layer of layers.toReversed()) {
    left.push(removed.reduce((rest, { text }) => without(rest, text), layer));
    removed.push(...removalsOf(layer));
  }
  return left.reverse();
}

/** The mapping without what is at a key path, and the same mapping if nothing is there. Its place stays the same. */
const without = memo((mapping: MappingNode, path: string): MappingNode => {
  const steps = removedPath({ text: path });
  if (nodeAtPath(mapping, steps) === undefined) return mapping;
  const [name, ...rest] = steps;
  const entries = mapping.entries.flatMap((entry) => {
    if (entry.key.text !== name) return [entry];
    if (rest.length === 0 || entry.value.type !== 'mapping') return [];
    return [{ key: entry.key, value: without(entry.value, rest.join('.')) }];
  });
  const { chunk, start, end, flow, parent, step } = mapping;
  return Object.assign(new MappingNode(chunk, start, end, flow, entries), { parent, step });
});
