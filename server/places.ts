import type { Location, Range } from 'vscode-languageserver';
import type { Analysis } from '../shared/analysis.ts';
import type { Place } from '../shared/checks/finding.ts';
import type { Mention } from '../shared/configuration/mentions.ts';
import { offsetsOf, type SourceFile } from '../shared/source/source-file.ts';
import type { Node, Span } from '../shared/source/tree.ts';
import type { Editor } from './editor.ts';

/** A part of a text as an LSP range. */
export function rangeBetween({ lines }: SourceFile, start: number, end: number): Range {
  return { start: lines.position(start), end: lines.position(end) };
}

export function rangeOf(file: SourceFile, span: Span): Range {
  const { start, end } = offsetsOf(file, span);
  return rangeBetween(file, start, end);
}

/** The range of a place in one of the files that an analysis read. */
export function rangeOfPlace({ file, files }: Analysis, { file: path, start, end }: Place): Range {
  return rangeBetween(files.find((one) => one.path === path) ?? file, start, end);
}

/** A part of any file as an LSP location. */
export function locationOf(file: SourceFile, span: Span, editor: Editor): Location {
  return { uri: editor.uriOf(file.path), range: rangeOf(file, span) };
}

export function locationOfMention({ file, name }: Mention, editor: Editor): Location {
  return locationOf(file, name.span, editor);
}

/** Whether a node is written in this text, not in a base file. */
export function isWrittenIn(file: SourceFile, node: Node): boolean {
  return file.chunks.has(node.chunk);
}
