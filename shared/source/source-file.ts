import { groupedBy } from '../grouped-by.ts';
import { type Change, changeBetween } from './change.ts';
import { cut, type Layout, layoutAfter, layoutOf, type Piece } from './cut.ts';
import { LineIndex } from './lines.ts';
import { parseChunk, reportDuplicates } from './parse.ts';
import { type Chunk, MappingNode, type Node, type ScalarNode, type Span, type SyntaxFault } from './tree.ts';

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
  /** Where each chunk stands in this version. */
  readonly starts: ReadonlyMap<Chunk, number>;
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
  const composed = (pieces: readonly Piece[]) => {
    const kept = earlier && change ? keptChunks(earlier, change, text, pieces) : [];
    const chunks = pieces.map(({ start, end, prefix }, i) => {
      const body = () => text.slice(start, end);
      return kept[i] ?? parseChunk(path, earlier ? detached(body()) : body(), prefix);
    });
    return { path, text, lines, layout, ...composedOf(chunks) };
  };
  const whole = () => composed([{ start: 0, end: text.length, prefix: [] }]);
  const pieces = cut(text, layout);
  if (!pieces) return whole();
  const file = composed(pieces);
  // An alias may name an anchor in another piece: only the whole text can tell.
  for (const chunk of file.starts.keys()) if (chunk.looseAlias) return whole();
  return file;
}

/**
 * The chunks that an earlier version has for the pieces of a text; none for those that are new. Both stand in the order of
 * the text, so one walk finds where each piece stood; one in the lines that changed may still have its text from another.
 */
function keptChunks(
  earlier: SourceFile,
  { from, to, shift }: Change,
  text: string,
  pieces: readonly Piece[],
): (Chunk | undefined)[] {
  const chunks = [...earlier.starts.keys()];
  const starts = Int32Array.from(earlier.starts.values());
  const isTouched = ({ text }: Chunk, i: number) =>
    starts[i]! + text.length > from && starts[i]! < to - shift;
  const touched = groupedBy(chunks.filter(isTouched), ({ prefix, text }) => chunkKey(prefix, text));
  let at = 0;
  return pieces.map(({ start, end, prefix }) => {
    if (end > from && start < to)
      return touched.size > 0 ? touched.get(chunkKey(prefix, text.slice(start, end)))?.pop() : undefined;
    const before = end <= from ? start : start - shift;
    while (starts[at]! < before) at++;
    const chunk = chunks[at];
    const isSame = chunk && starts[at] === before && chunk.text.length === end - start;
    return isSame && samePath(chunk.prefix, prefix) ? chunk : undefined;
  });
}

function samePath(a: readonly string[], b: readonly string[]): boolean {
  return a === b || (a.length === b.length && a.every((step, i) => step === b[i]));
}

/** One tree of chunks that stand one behind the other. */
function composedOf(chunks: readonly Chunk[]): Pick<SourceFile, 'root' | 'faults' | 'starts'> {
  const starts = new Map<Chunk, number>();
  const faults: SyntaxFault[] = [];
  let start = 0;
  for (const chunk of chunks) {
    starts.set(chunk, start);
    start += chunk.text.length;
    for (const fault of chunk.faults) faults.push(fault);
  }
  const root = chunks.length === 1 ? chunks[0]!.root : joinChunks(chunks, faults);
  return { root, faults, starts };
}

/**
 * The same text as one of its own: a slice would keep the whole text that it was cut from for as long as it lives, and
 * with each edit another one.
 */
const detached = (body: string): string => JSON.parse(JSON.stringify(body));

/** A mapping that was put together from chunks, and the entry of its parent that holds it. */
interface Joined {
  readonly parent: MappingNode;
  readonly index: number;
  readonly mapping: MappingNode;
}

/** One mapping from many chunks. A chunk that holds a key alone is filled by the chunks whose prefix it is. */
function joinChunks(chunks: readonly Chunk[], faults: SyntaxFault[]): MappingNode {
  const first = chunks[0]!;
  const root = new MappingNode(first, 0, first.text.length, false);
  const joined: Joined[] = [];
  /** The mappings now open, by depth of prefix. */
  const open: MappingNode[] = [root];
  for (const chunk of chunks) {
    const depth = chunk.prefix.length;
    // A header stands right before what it holds, so a deeper prefix always belongs to the last entry one level up.
    if (depth >= open.length) {
      const inside = openLastEntry(open[depth - 1]!);
      joined.push(inside);
      open.push(inside.mapping);
    }
    open.length = depth + 1;
    for (const entry of chunk.root.entries) open[depth]!.entries.push(entry);
  }
  for (const { mapping } of joined.reverse().map(keepUnchanged)) reportRepeated(mapping, faults);
  reportRepeated(root, faults);
  return root;
}

function openLastEntry(parent: MappingNode): Joined {
  const index = parent.entries.length - 1;
  const { key } = parent.entries[index]!;
  const mapping = new MappingNode(key.chunk, key.end, key.end, false);
  mapping.parent = key.chunk.root;
  mapping.step = key.text;
  parent.entries[index] = { key, value: mapping };
  return { parent, index, mapping };
}

/** What a key's mapping was last put together to. */
const lastJoined = new WeakMap<ScalarNode, MappingNode>();

/** Takes the mapping of the earlier version where nothing in it changed, so that all that was made of it still holds. */
function keepUnchanged({ parent, index, mapping }: Joined): Joined {
  const { key } = parent.entries[index]!;
  const last = lastJoined.get(key);
  const isSame =
    last?.entries.length === mapping.entries.length &&
    last.entries.every((entry, i) => {
      const other = mapping.entries[i]!;
      return entry.key === other.key && entry.value === other.value;
    });
  const kept = isSame && last ? last : mapping;
  lastJoined.set(key, kept);
  parent.entries[index] = { key, value: kept };
  return { parent, index, mapping: kept };
}

function reportRepeated(mapping: MappingNode, faults: SyntaxFault[]): void {
  reportDuplicates(mapping, ({ chunk, start, end }, message, other) =>
    faults.push({ rule: 'duplicate-key', chunk, start, end, message, other }),
  );
}

const chunkKey = (prefix: readonly string[], text: string): string => `${prefix.join('/')}\n${text}`;

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
    starts: new Map([[chunk, 0]]),
    lines: new LineIndex(text),
    layout: undefined,
  };
}

/** Where a span of this version stands, in UTF-16 units from the start of the text. */
export function offsetsOf(file: SourceFile, span: Span): { start: number; end: number } {
  const at = file.starts.get(span.chunk);
  if (at === undefined) throw new Error(`a span of another version or file than ${file.path}`);
  return { start: at + span.start, end: at + span.end };
}

/** The deepest node, key or value, whose text holds the offset; a place at a node's end belongs to it. */
export function nodeAtOffset(file: SourceFile, offset: number): Node | undefined {
  let found: { chunk: Chunk; start: number } | undefined;
  for (const [chunk, start] of file.starts) {
    if (start > offset) break;
    found = { chunk, start };
  }
  return found && deepest(found.chunk.root, offset - found.start);
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
