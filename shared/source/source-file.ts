import { memo } from '../memo.ts';
import { Block, readBlocks } from './blocks.ts';
import { type Change, changeBetween } from './change.ts';
import { type Layout, layoutAfter, layoutOf } from './cut.ts';
import { LineIndex, type Position } from './lines.ts';
import { parseChunk } from './parse.ts';
import { RewrittenText, startOfLine, startOfNextLine, type Text } from './text.ts';
import type { MappingNode, Node, ScalarNode, SequenceNode, Span, SyntaxFault } from './tree.ts';

/**
 * A longer text is rejected, not parsed. It is about sixty thousand lines, and a list of digits of that length takes nearly
 * a gigabyte of nodes.
 */
export const MAX_TEXT_LENGTH = 2_000_000;

/** One version of one text, cut into chunks and put together as one tree. */
export class SourceFile {
  #text: string | undefined;

  constructor(
    readonly path: string,
    /** Its chunks, and where each stands in this version. */
    readonly chunks: Block,
    readonly faults: readonly SyntaxFault[],
    readonly lines: LineIndex,
    /** How its lines are indented, for the next version; undefined for a text that was refused. */
    readonly layout: Layout | undefined,
    /** In one piece, where it is at hand. */
    text?: string,
  ) {
    this.#text = text;
  }

  get root(): MappingNode {
    return this.chunks.root;
  }

  /** The whole text; after an edit it is put together when it is asked for first. */
  get text(): string {
    this.#text ??= String(this.chunks);
    return this.#text;
  }
}

/** Reads a text. Chunks of the earlier version whose text is the same are taken over with all their nodes. */
export function readSource(path: string, text: string, earlier?: SourceFile): SourceFile {
  const refusal = unreadableText(text);
  if (refusal) return refused(path, text, refusal);
  if (earlier?.layout) return nextVersion(path, text, earlier, changeBetween(earlier.text, text), text);
  const layout = layoutOf(text);
  const chunks = readBlocks({ path, text, layout });
  return new SourceFile(path, chunks, chunks.faults, new LineIndex(text), layout, text);
}

/** A stretch between two positions that was written anew; without a range, the whole text. */
export interface Rewriting {
  readonly range?: { readonly start: Position; readonly end: Position };
  readonly text: string;
}

/** The next version of a file, which costs as much as what was written, and not as the whole text. */
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

/** The file of a text that is rejected: an empty tree and one fault on its first line. */
function refused(path: string, text: string, message: string): SourceFile {
  const head = text.slice(0, 80).split(/[\r\n\0]/, 1)[0]!;
  const chunk = parseChunk(path, '', []);
  const fault: SyntaxFault = { rule: 'syntax-error', chunk, start: 0, end: head.length, message };
  return new SourceFile(path, new Block([chunk], undefined), [fault], new LineIndex(text), undefined, text);
}

/** Where a span of this version stands, in UTF-16 units from the start of the text. */
export function offsetsOf(file: SourceFile, span: Span): { start: number; end: number } {
  const at = file.chunks.get(span.chunk);
  if (at === undefined) throw new Error(`The span does not belong to this version of ${file.path}`);
  return { start: at + span.start, end: at + span.end };
}

/** The deepest node, key or value, whose text holds the offset; a place at a node's end belongs to it. */
export function nodeAtOffset(file: SourceFile, offset: number): Node | undefined {
  const { chunk, start } = file.chunks.before(offset);
  return deepest(chunk.root, offset - start);
}

/** The deepest node, key or value, in which a span begins. */
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
 * The keys and values that stand in the text of a node, in its order: through an alias the tree leads elsewhere. Of a list
 * of thousands each member may be asked for.
 */
const standingIn = memo((node: MappingNode | SequenceNode): readonly Node[] => {
  const children =
    node.type === 'mapping' ? node.entries.flatMap(({ key, value }) => [key, value]) : node.items;
  return children.filter((child) => child.chunk === node.chunk && child.parent === node);
});

/** The key under which a value stands; undefined for the root and for members of a list. */
export function keyOf(node: Node): ScalarNode | undefined {
  return node.parent?.type === 'mapping' ? node.parent.entry(String(node.step))?.key : undefined;
}
