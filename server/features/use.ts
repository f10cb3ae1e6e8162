import type { Analysis } from '../../shared/analysis.ts';
import { keyOf, type SourceFile } from '../../shared/source/source-file.ts';
import { type Node, nodeAtPath, pathOf, type Span } from '../../shared/source/tree.ts';

/** A place that uses something, with the label of that place. */
export interface Use {
  readonly label: string;
  readonly file: SourceFile;
  readonly span: Span;
}

/** A use by a whole section or value, shown at its key. */
export function useAt(label: string, node: Node, { file, files }: Analysis): Use {
  const where = files.find(({ path }) => path === node.chunk.file) ?? file;
  return { label, file: where, span: keyOf(node) ?? nodeAtPath(where.root, pathOf(node)) ?? node };
}
