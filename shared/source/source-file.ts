import { memo } from '../memo.ts';
import { Block, readBlocks } from './blocks.ts';
import { type Change, changeBetween } from './change.ts';
import { type Layout, layoutAfter, layoutOf } from './cut.ts';
import { LineIndex, type Position } from './lines.ts';
import { parseChunk } from './parse.ts';
import { RewrittenText, startOfLine, startOfNextLine, type Text } from './text.ts';
import type { MappingNode, Node, ScalarNode, SequenceNode, Span, SyntaxFault } from './tree.ts';

/**
 * A longer text is rejected without parsing. This is about sixty thousand lines, and a list of digits of this length
 * takes nearly a gigabyte of nodes.
 */
export const MAX_TEXT_LENGTH = 2_000_000;

/** One version of a text: its chunks, and the tree that they form. */
export class SourceFile {
  #text: string | undefined;

  constructor(
    readonly path: string,
    /** The chunks with their positions in this version. */
    readonly chunks: Block,
    readonly faults: readonly SyntaxFault[],
    readonly lines: LineIndex,
    /** The indentation of its lines, used to read the next version; undefined for a text that was rejected. */
    readonly layout: Layout | undefined,
    /** The whole text, if it is available. */
    text?: string,
  ) {
    this.#text = text;
  }

  get root(): MappingNode {
    return this.chunks.root;
  }

  /** The whole text; after an edit it is joined on first use. */
  get text(): string {
    this.#text ??= String(this.chunks);
    return this.#text;
  }
}

/** Reads a text. Chunks of the earlier version with unchanged text are reused with all their nodes. */
export function readSource(path: string, text: string, earlier?: SourceFile): SourceFile {
  const refusal = unreadableText(text);
  if (refusal) return refused(path, text, refusal);
  if (earlier?.layout) return nextVersion(path, text, earlier, changeBetween(earlier.text, text), text);
  const layout = layoutOf(text);
  const chunks = readBlocks({ path, text, layout });
  return new SourceFile(path, chunks, chunks.faults, new LineIndex(text), layout, text);
}

/** A change of a text: new text for a range or, without a range, for the whole. */
export interface Rewriting {
  readonly range?: { readonly start: Position; readonly end: Position };
  readonly text: string;
}

/** The next version of a file. Takes time in proportion to the change, not to the whole text. */
export function rewritten(file: SourceFile, { range, text }: Rewriting): SourceFile {
  if (!range) return text === file.text ? file : readSource(file.path, text, file);
  const places = [file.lines.offset(range.start), file.lines.offset(range.end)];
  const [start, end] = [Math.min(...places), Math.max(...places)];
  const before = file.layout ? file.chunks : file.text;
  const after = new RewrittenText(before, start, end, text);
  const readable = file.layout && !unreadableText(text) && after.length <= MAX_TEXT_LENGTH;
  if (!readable) return readSource(file.path, String(after), file);
  const from = startOfLine(before, start);
  const to = startOfNextLine(before, end) + after.shift;
  return nextVersion(file.path, after, file, { from, to, shift: after.shift });
}

function nextVersion(
  path: string,
  text: Text,
  earlier: SourceFile,
  change: Change,
  whole?: string,
): SourceFile {
  const layout = layoutAfter(text, earlier.layout!, change);
  const chunks = readBlocks({ path, text, layout, earlier: { block: earlier.chunks, change } });
  const lines = earlier.lines.after(chunks, change);
  return new SourceFile(path, chunks, chunks.faults, lines, layout, whole);
}

function unreadableText(text: string): string | undefined {
  if (text.length > MAX_TEXT_LENGTH)
    return `The file is ${(text.length / 1e6).toFixed(1)} MB long, over the limit of ${MAX_TEXT_LENGTH / 1e6} MB.`;
  if (text.includes('\0')) return 'The file contains zero bytes, so it is not UTF-8 text.';
  return undefined;
}

/** The file of a rejected text: an empty tree with one fault on the first line. */
function refused(path: string, text: string, message: string): SourceFile {
  const head = text.slice(0, 80).split(/[\r\n\0]/, 1)[0]!;
  const chunk = parseChunk(path, '', []);
  const fault: SyntaxFault = { rule: 'syntax-error', chunk, start: 0, end: head.length, message };
  return new SourceFile(path, new Block([chunk], undefined), [fault], new LineIndex(text), undefined, text);
}

/** The offsets of a span in this version, in UTF-16 units from the start of the text. */
export function offsetsOf(file: SourceFile, span: Span): { start: number; end: number } {
  const at = file.chunks.get(span.chunk);
  if (at === undefined) throw new Error(`The span does not belong to this version of ${file.path}`);
  return { start: at + span.start, end: at + span.end };
}

/** The deepest node, key or value, that contains the offset; the end of a node counts as inside. */
export function nodeAtOffset(file: SourceFile, offset: number): Node | undefined {
  const { chunk, start } = file.chunks.before(offset);
  return deepest(chunk.root, offset - start);
}

/** The deepest node, key or value, that contains the start of a span. */
export const nodeAtSpan = ({ chunk, start }: Span): Node => deepest(chunk.root, start) ?? chunk.root;

function deepest(node: Node, at: number): Node | undefined {
  const children = node.type === 'scalar' ? [] : standingIn(node);
  let [low, high] = [0, children.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (children[middle]!.end < at) low = middle + 1;
    else high = middle;
  }
  const first = children[low];
  if (first && first.start <= at) return deepest(first, at);
  return node.start <= at && at <= node.end ? node : undefined;
}

/**
 * The keys and values written inside a node, in the order of the text, without the targets of aliases. Cached, because
 * each item of a list of thousands may be looked up.
 */
const standingIn = memo((node: MappingNode | SequenceNode): readonly Node[] => {
  const children =
    node.type === 'mapping' ? node.entries.flatMap(({ key, value }) => [key, value]) : node.items;
  return children.filter((child) => child.chunk === node.chunk && child.parent === node);
});

/** The key of a value; undefined for the root and for items of a list. */
export function keyOf(node: Node): ScalarNode | undefined {
  return node.parent?.type === 'mapping' ? node.parent.entry(String(node.step))?.key : undefined;
}

/** The key of a value, or the value itself if it has none: what to show for a whole section. */
export const keyNode = <Value extends Node>(node: Value): ScalarNode | Value => keyOf(node) ?? node;
