import type { Location, Range } from 'vscode-languageserver/node';
import type { Analysis } from '../shared/analysis.ts';
import type { Place } from '../shared/checks/finding.ts';
import type { Mention } from '../shared/configuration/mentions.ts';
import { offsetsOf, type SourceFile } from '../shared/source/source-file.ts';
import type { Node, Span } from '../shared/source/tree.ts';
import type { Editor } from './editor.ts';

/** A stretch of text as editors count. */
export function rangeBetween({ lines }: SourceFile, start: number, end: number): Range {
  return { start: lines.position(start), end: lines.position(end) };
}

export function rangeOf(file: SourceFile, span: Span): Range {
  const { start, end } = offsetsOf(file, span);
  return rangeBetween(file, start, end);
}

/** The range of a place in any of the files that an analysis read. */
export function rangeOfPlace({ file, files }: Analysis, { file: path, start, end }: Place): Range {
  return rangeBetween(files.find((one) => one.path === path) ?? file, start, end);
}

/** A stretch of any file, for an editor to go to. */
export function locationOf(file: SourceFile, span: Span, editor: Editor): Location {
  return { uri: editor.uriOf(file.path), range: rangeOf(file, span) };
}

export function locationOfMention({ file, name }: Mention, editor: Editor): Location {
  return locationOf(file, name.span, editor);
}

/** Whether a node stands in this text, and not in one that it is based on. */
export function standsIn(file: SourceFile, node: Node): boolean {
  return file.chunks.has(node.chunk);
}
