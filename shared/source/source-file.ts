import { Block, readBlocks } from './blocks.ts';
import { changeBetween } from './change.ts';
import { type Layout, layoutAfter, layoutOf } from './cut.ts';
import { LineIndex } from './lines.ts';
import { parseChunk } from './parse.ts';
import type { MappingNode, Node, ScalarNode, Span, SyntaxFault } from './tree.ts';

/**
 * A text longer than this is no configuration; it is refused, not parsed. It is some sixty thousand lines; and a list of
 * digits that fills it takes nearly a gigabyte of nodes.
 */
export const LONGEST_TEXT = 2_000_000;

/** One version of one text, cut into chunks and put together as one tree. */
export interface SourceFile {
  readonly path: string;
  readonly text: string;
  readonly root: MappingNode;
  readonly faults: readonly SyntaxFault[];
  /** Its chunks, and where each stands in this version. */
  readonly chunks: Block;
  readonly lines: LineIndex;
  /** How its lines are indented, for the next version; undefined for a text that was refused. */
  readonly layout: Layout | undefined;
}

/** Reads a text. Chunks of the earlier version whose text is the same are taken over with all their nodes. */
export function readSource(path: string, text: string, earlier?: SourceFile): SourceFile {
  const refusal = unreadableText(text);
  if (refusal) return refused(path, text, refusal);
  const change = earlier?.layout && changeBetween(earlier.text, text);
  const layout = earlier?.layout && change ? layoutAfter(text, earlier.layout, change) : layoutOf(text);
  const lines = earlier?.layout && change ? earlier.lines.after(text, change) : new LineIndex(text);
  const chunks = readBlocks({
    path,
    text,
    layout,
    earlier: earlier && change && { block: earlier.chunks, change },
  });
  return { path, text, lines, layout, chunks, root: chunks.root, faults: chunks.faults };
}

function unreadableText(text: string): string | undefined {
  if (text.length > LONGEST_TEXT)
    return `This text is ${(text.length / 1e6).toFixed(1)} MB long; no configuration is.`;
  if (text.includes('\0')) return 'This is no text: it holds zero bytes.';
  return undefined;
}

/** The file of a text that is not read at all: an empty tree and one fault on its first line. */
function refused(path: string, text: string, message: string): SourceFile {
  const head = text.slice(0, 80).split(/[\r\n\0]/, 1)[0]!;
  const chunk = parseChunk(path, '', []);
  const fault: SyntaxFault = { rule: 'syntax-error', chunk, start: 0, end: head.length, message };
  return {
    path,
    text,
    root: chunk.root,
    faults: [fault],
    chunks: new Block([chunk], undefined),
    lines: new LineIndex(text),
    layout: undefined,
  };
}

/** Where a span of this version stands, in UTF-16 units from the start of the text. */
export function offsetsOf(file: SourceFile, span: Span): { start: number; end: number } {
  const at = file.chunks.get(span.chunk);
  if (at === undefined) throw new Error(`a span of another version or file than ${file.path}`);
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
  const children =
    node.type === 'mapping'
      ? node.entries.flatMap(({ key, value }) => [key, value])
      : node.type === 'sequence'
        ? node.items
        : [];
  for (const child of children) {
    const here = child.chunk === node.chunk && child.start <= at && at <= child.end;
    // Through an alias the tree leads elsewhere; only text that stands here counts.
    if (here && child.parent === node) return deepest(child, at);
  }
  return node.start <= at && at <= node.end ? node : undefined;
}

/** The key under which a value stands; undefined for the root and for members of a list. */
export function keyOf(node: Node): ScalarNode | undefined {
  return node.parent?.type === 'mapping' ? node.parent.entry(String(node.step))?.key : undefined;
}
