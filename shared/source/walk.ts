import type { SourceFile } from './source-file.ts';
import type { Node } from './tree.ts';

/** Every node written in a file, including keys, each once. The target of an alias is visited where it is written. */
export function* nodesIn(file: SourceFile): Generator<Node> {
  for (const chunk of file.chunks.keys()) yield* below(chunk.root);
}

function* below(node: Node): Generator<Node> {
  yield node;
  if (node.type === 'mapping') {
    for (const { key, value } of node.entries) {
      yield key;
      if (value.parent === node && value.start >= key.end) yield* below(value);
    }
  } else if (node.type === 'sequence') {
    for (const item of node.items) if (item.parent === node) yield* below(item);
  }
}

/** The lines of scalars that span several lines, in which blanks and `#` are part of the text. */
export function linesOfText(file: SourceFile): Set<number> {
  const lines = new Set<number>();
  for (const node of nodesIn(file)) {
    if (node.type !== 'scalar' || node.style === 'empty') continue;
    const at = file.chunks.get(node.chunk)!;
    const first = file.lines.position(at + node.start).line;
    const last = file.lines.position(at + Math.max(node.start, node.end - 1)).line;
    for (let line = first; line <= last && last > first; line++) lines.add(line);
  }
  return lines;
}
