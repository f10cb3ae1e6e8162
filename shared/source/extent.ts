import { offsetsOf, type SourceFile } from './source-file.ts';
import type { Entry, MappingNode, Node } from './tree.ts';

/** A stretch of a file, in UTF-16 units from its start. */
export interface Extent {
  readonly start: number;
  readonly end: number;
}

/** Whether an entry's value is written after its key, rather than being an alias. */
export function isBehind(file: SourceFile, { key, value }: Entry): boolean {
  return file.chunks.has(value.chunk) && offsetsOf(file, value).start >= offsetsOf(file, key).end;
}

/** From an entry's key to the last word of its value. The parser extends a block to the next key. */
export function extentOfEntry(file: SourceFile, entry: Entry): Extent {
  const { start, end } = offsetsOf(file, entry.key);
  return { start, end: isBehind(file, entry) ? endOf(file, entry.value) : end };
}

/** From the first word of a node to its last. */
export function extentOf(file: SourceFile, node: Node): Extent {
  const first = firstOf(node);
  const { start } = offsetsOf(file, first ?? node);
  return { start, end: endOf(file, node) };
}

/** The end of a node's last word. */
export function endOf(file: SourceFile, node: Node): number {
  if (node.type === 'sequence' && !node.flow) {
    const last = node.items.at(-1);
    if (last && last.parent === node) return endOf(file, last);
  }
  if (node.type === 'mapping' && !node.flow) {
    const last = node.entries.at(-1);
    if (last) return extentOfEntry(file, last).end;
  }
  const { start, end } = offsetsOf(file, node);
  return start + file.chunks.slice(start, end).trimEnd().length;
}

/** The first key of a block mapping. The node of a block that was split does not know where it begins. */
function firstOf(node: Node): Node | undefined {
  return node.type === 'mapping' && !node.flow ? (node as MappingNode).entries[0]?.key : undefined;
}
