import { type FoldingRange, FoldingRangeKind, type FoldingRangeParams } from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import { extentOfEntry } from '../../shared/source/extent.ts';
import type { SourceFile } from '../../shared/source/source-file.ts';
import type { Node } from '../../shared/source/tree.ts';
import { linesOfText } from '../../shared/source/walk.ts';
import { isWrittenIn, rangeBetween } from '../places.ts';
import type { Feature } from './feature.ts';

export const folding: Feature = {
  capabilities: { foldingRangeProvider: true },
  listen: (connection, { from }) => {
    connection.onFoldingRanges(from<FoldingRangeParams, FoldingRange[]>(foldingRangesIn));
  },
};

/** The foldable ranges: keys whose value spans several lines, and comments of several lines. */
export function foldingRangesIn({ file }: Pick<Analysis, 'file'>): FoldingRange[] {
  return [...sections(file, file.root), ...comments(file)];
}

function* sections(file: SourceFile, node: Node): Generator<FoldingRange> {
  if (node.type === 'sequence') {
    for (const item of node.items) if (item.parent === node) yield* sections(file, item);
  }
  if (node.type !== 'mapping') return;
  for (const entry of node.entries) {
    if (!isWrittenIn(file, entry.key)) continue;
    const { start, end } = extentOfEntry(file, entry);
    const range = rangeBetween(file, start, end);
    if (range.end.line === range.start.line) continue;
    yield { startLine: range.start.line, endLine: range.end.line };
    yield* sections(file, entry.value);
  }
}

function* comments(file: SourceFile): Generator<FoldingRange> {
  const texts = linesOfText(file);
  const isComment = (line: number) => !texts.has(line) && /^\s*#/.test(file.lines.line(line));
  const count = file.lines.starts.length;
  for (let line = 0; line < count; line++) {
    const startLine = line;
    while (line < count && isComment(line)) line++;
    if (line - startLine > 1) yield { startLine, endLine: line - 1, kind: FoldingRangeKind.Comment };
  }
}
