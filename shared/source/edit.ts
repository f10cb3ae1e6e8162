import type { SourceFile } from './source-file.ts';
import type { Chunk, Entry, MappingNode, Node, Span } from './tree.ts';

/**
 * An edit that keeps the author's layout: it changes only what it names. Comments, order, quotes and the spelling of
 * other numbers stay.
 */
export interface Edit {
  readonly span: Span;
  /** The text that replaces the span. */
  readonly text: string;
}

export function replace(span: Span, text: string): Edit {
  return { span, text };
}

export function insertAt(span: Span, offset: number, text: string): Edit {
  return { span: { chunk: span.chunk, start: offset, end: offset }, text };
}

/** The value of a new entry: text on the line of the key, or the lines of a block below it, indented from zero. */
export interface NewValue {
  readonly line: string;
  readonly block?: readonly string[];
}

/** Adds an entry to a mapping, in the style of that mapping: after its entry `after`, or before all others. */
export function insertEntry(
  mapping: MappingNode,
  key: string,
  value: NewValue,
  after: Entry | undefined,
): Edit {
  if (mapping.flow) return insertIntoFlow(mapping, `${key}: ${value.line}`, after);
  const first = mapping.entries[0];
  const { text } = first?.key.chunk ?? mapping.chunk;
  const indent = ' '.repeat(first ? first.key.start - lineStart(first.key) : 0);
  const lines = value.block
    ? [`${key}:`, ...value.block.map((line) => `  ${line}`)]
    : [`${key}: ${value.line}`.trimEnd()];
  const newline = newlineOf(text);
  const added = lines.map((line) => indent + line).join(newline);
  if (after) {
    const end = contentEnd(after);
    return insertAt(end, lineEnd(end), newline + added);
  }
  if (!first) {
    const separator = text === '' || text.endsWith('\n') ? '' : newline;
    return insertAt(mapping, text.length, `${separator}${added}${newline}`);
  }
  // Text before the first key, such as the dash of a list item, stays.
  return insertAt(first.key, first.key.start, added.slice(indent.length) + newline + indent);
}

function insertIntoFlow(mapping: MappingNode, added: string, after: Entry | undefined): Edit {
  const { text } = mapping.chunk;
  const first = mapping.entries[0];
  if (!first) {
    const inside = { chunk: mapping.chunk, start: mapping.start + 1, end: mapping.end - 1 };
    return text.slice(inside.start, inside.end).trim() === ''
      ? replace(inside, ` ${added} `)
      : insertAt(mapping, mapping.start + 1, ` ${added}`);
  }
  const neighbour = after ?? first;
  const left = text.slice(lineStart(neighbour.key), neighbour.key.start);
  // Next to an entry on a line of its own, the new entry gets its own line too.
  const separator = left.trim() === '' ? `,${newlineOf(text)}${left}` : ', ';
  return after
    ? insertAt(mapping, entryEnd(after), separator + added)
    : insertAt(mapping, first.key.start, added + separator);
}

export function renameKey(entry: Entry, name: string): Edit {
  return replace(entry.key, name);
}

/**
 * Removes an entry with its value and the comment after it; comment lines around it stay. If the block was split into
 * chunks, each needs its own edit.
 */
export function removeEntry(file: SourceFile, mapping: MappingNode, entry: Entry): Edit[] {
  if (mapping.flow) return [removeFromFlow(mapping, entry)];
  const { chunk } = entry.key;
  const below = chunksBelow(file, entry);
  const start = lineStart(entry.key);
  if (below.length === 0) return [replace({ chunk, start, end: nextLine(contentEnd(entry)) }, '')];
  const last = below.at(-1)!;
  const lastEntry = last.root.entries.at(-1);
  return [
    replace({ chunk, start, end: chunk.text.length }, ''),
    ...below.slice(0, -1).map((one) => replace({ chunk: one, start: 0, end: one.text.length }, '')),
    // Comments below the last entry may belong to what follows.
    replace({ chunk: last, start: 0, end: lastEntry ? nextLine(contentEnd(lastEntry)) : 0 }, ''),
  ];
}

function removeFromFlow(mapping: MappingNode, entry: Entry): Edit {
  const index = mapping.entries.indexOf(entry);
  const before = mapping.entries[index - 1];
  const next = mapping.entries[index + 1];
  const { chunk } = mapping;
  if (before) return replace({ chunk, start: entryEnd(before), end: entryEnd(entry) }, '');
  return replace({ chunk, start: entry.key.start, end: next ? next.key.start : entryEnd(entry) }, '');
}

/** The chunks of the block below a key that ends its own chunk. */
function chunksBelow(file: SourceFile, { key }: Entry): Chunk[] {
  if (key.chunk.root.entries.at(-1)?.key !== key) return [];
  const chunks = [...file.chunks.keys()];
  const from = chunks.indexOf(key.chunk) + 1;
  const depth = key.chunk.prefix.length;
  const to = chunks.findIndex((chunk, i) => i >= from && chunk.prefix.length <= depth);
  return chunks.slice(from, to < 0 ? chunks.length : to);
}

/** The end of an entry's text, in the chunk of its last word. */
function contentEnd(entry: Entry): Span {
  const { value } = entry;
  if (value.type === 'mapping' && !value.flow && isWrittenHere(entry)) {
    const last = value.entries.at(-1);
    if (last) return contentEnd(last);
  }
  const end = entryEnd(entry);
  return { chunk: entry.key.chunk, start: end, end };
}

/** The end of an entry in the chunk of its key: that of the value, or of the alias in its place. */
function entryEnd(entry: Entry): number {
  const { text } = entry.key.chunk;
  let end = isWrittenHere(entry) ? lastWord(entry.value) : entry.key.end;
  if (end <= entry.key.end) {
    const rest = /[ \t]*:?(?:[ \t]*[*&][^\s,\]}]+)?/y;
    rest.lastIndex = entry.key.end;
    rest.test(text);
    end = Math.max(end, rest.lastIndex);
  }
  // A block scalar includes the line ends below it.
  while (end > entry.key.end && /\s/.test(text[end - 1]!)) end--;
  return end;
}

/** The end of a node's last word. The node itself may extend further, over comments that are not its own. */
function lastWord(node: Node): number {
  if (node.type === 'scalar' || node.flow) return node.end;
  const last = node.type === 'mapping' ? node.entries.at(-1)?.value : node.items.at(-1);
  return last && last.start > node.start ? lastWord(last) : node.end;
}

/** False if the value is an alias, whose target is written elsewhere. */
function isWrittenHere({ key, value }: Entry): boolean {
  return value.chunk !== key.chunk || value.start >= key.end;
}

function lineStart({ chunk, start }: Span): number {
  return chunk.text.lastIndexOf('\n', start - 1) + 1;
}

function lineEnd({ chunk, end }: Span): number {
  const at = chunk.text.indexOf('\n', end);
  const next = at < 0 ? chunk.text.length : at;
  return chunk.text[next - 1] === '\r' && next > end ? next - 1 : next;
}

function nextLine(span: Span): number {
  const at = span.chunk.text.indexOf('\n', span.end);
  return at < 0 ? span.chunk.text.length : at + 1;
}

const newlineOf = (text: string): string => (text.includes('\r\n') ? '\r\n' : '\n');
