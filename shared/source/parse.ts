import {
  type Document,
  isAlias,
  isCollection,
  isMap,
  isPair,
  isScalar,
  isSeq,
  parseDocument,
  visit,
  type YAMLError,
} from 'yaml';
import { conflictsIn, withFirstSides } from './conflict.ts';
import { readPlain } from './plain.ts';
import { syntaxMessage } from './syntax-message.ts';
import { repaired, tabRepairs } from './tabs.ts';
import {
  type Chunk,
  MAX_NODES,
  MappingNode,
  type Node,
  REPLACEMENT_CHARACTER,
  ScalarNode,
  type ScalarStyle,
  SequenceNode,
  type Span,
  type SyntaxFault,
} from './tree.ts';

/** Deeper than any configuration. A text nested more deeply is rejected before the parser's stack overflows. */
export const MAX_NESTING = 64;
/** More faults in one chunk are no help. */
const MOST_FAULTS = 20;

const TAB = 'Tab in the indentation; YAML allows only spaces.';

type MutableChunk = { -readonly [K in keyof Chunk]: Chunk[K] } & { faults: SyntaxFault[] };

/** Parses one chunk of text. Never throws: faults are in `chunk.faults`, and everything readable is in the tree. */
export function parseChunk(file: string, text: string, prefix: readonly string[]): Chunk {
  const chunk = emptyChunk(file, text, prefix);
  const plain = readPlain(chunk);
  if (plain) chunk.root = plain;
  else readByLibrary(chunk);
  return chunk;
}

/** Like `parseChunk`, but with the YAML library only. The tree is the same; it takes ten times as long. */
export function parseByLibrary(file: string, text: string, prefix: readonly string[]): Chunk {
  const chunk = emptyChunk(file, text, prefix);
  readByLibrary(chunk);
  return chunk;
}

function emptyChunk(file: string, text: string, prefix: readonly string[]): MutableChunk {
  const conflicts = conflictsIn(text);
  const parsedText = withDegreeSigns(withFirstSides(text, conflicts));
  const chunk = { file, text, parsedText, prefix, faults: [], looseAlias: false } as unknown as MutableChunk;
  chunk.root = new MappingNode(chunk, 0, text.length, false);
  for (const { opening } of conflicts) {
    const { start } = opening;
    const end = start + text.slice(start, opening.end).trimEnd().length;
    const message = 'Unresolved merge conflict.';
    chunk.faults.push({ rule: 'merge-conflict', chunk, start, end, message });
  }
  const start = text.indexOf(REPLACEMENT_CHARACTER);
  const message = 'This character is not valid UTF-8.';
  if (start >= 0) chunk.faults.push({ rule: 'text-not-utf-8', chunk, start, end: start + 1, message });
  return chunk;
}

/** Restores the degree sign of `°C` if a wrong encoding has destroyed it. No other character can precede the C. */
const withDegreeSigns = (text: string): string =>
  text.includes(REPLACEMENT_CHARACTER) ? text.replaceAll(/\uFFFDC\b/g, '°C') : text;

function readByLibrary(chunk: MutableChunk): void {
  const { parsedText: text } = chunk;
  const tooDeep = nestingFault(text);
  if (tooDeep) {
    chunk.faults.push({ rule: 'syntax-error', chunk, ...tooDeep });
    return;
  }
  try {
    let document = parsed(text);
    const repairs = tabRepairs(text, document.errors);
    if (repairs.length > 0) {
      for (const repair of repairs)
        chunk.faults.push({ rule: 'tab-indentation', chunk, message: TAB, ...repair });
      // Text after a tab is parsed as if the tab were replaced by spaces.
      const { text: spaced, origin } = repaired(text, repairs);
      document = parsed(spaced);
      moveTo(origin, document);
    }
    new TreeBuilder(chunk, document).build();
  } catch (error) {
    // Hostile texts can overflow the parser's stack.
    const reason = error instanceof RangeError ? 'it is nested too deeply' : String(error);
    chunk.faults.push({
      rule: 'syntax-error',
      chunk,
      start: 0,
      end: firstLineEnd(text),
      message: unreadable(reason),
    });
  }
}

const parsed = (text: string): Document.Parsed =>
  parseDocument(text, {
    schema: 'core',
    merge: false,
    uniqueKeys: false,
    prettyErrors: false,
    // With 'silent' the library would drop a second document without an error.
    logLevel: 'error',
  });

/** Maps the positions of all nodes, errors and warnings of a document to another text. */
function moveTo(origin: (place: number) => number, document: Document.Parsed): void {
  for (const error of [...document.errors, ...document.warnings])
    error.pos = [origin(error.pos[0]), origin(error.pos[1])];
  visit(document, {
    Node: (_, node) => {
      if (node.range) node.range = [origin(node.range[0]), origin(node.range[1]), origin(node.range[2])];
    },
  });
}

class TreeBuilder {
  #faults = 0;
  readonly #made = new Map<unknown, Node>();
  readonly #sizes = new Map<Node, number>();
  readonly #anchors = new Map<string, { node: unknown; span: Span; used: boolean }>();

  constructor(
    readonly chunk: MutableChunk,
    readonly document: Document.Parsed,
  ) {}

  build(): void {
    for (const error of [...this.document.errors, ...this.document.warnings]) this.#syntaxFault(error);
    const contents = this.document.contents;
    if (contents !== null) {
      const root = this.#node(contents);
      if (root.type === 'mapping') this.chunk.root = root;
      else if (!(root.type === 'scalar' && root.style === 'empty')) {
        this.#fault('syntax-error', root, 'The file must consist of lines of the form `key: value`.');
      }
    }
    for (const [name, anchor] of this.#anchors) {
      if (!anchor.used) this.#fault('unused-anchor', anchor.span, `Anchor \`&${name}\` is not used.`);
    }
  }

  #fault(rule: SyntaxFault['rule'], span: Span, message: string, other?: Span): void {
    if (this.#faults++ >= MOST_FAULTS) return;
    const { start, end } = span;
    this.chunk.faults.push({ rule, chunk: this.chunk, start, end, message, ...(other && { other }) });
  }

  #syntaxFault(error: YAMLError): void {
    // A fault at the end of the text is shown at the last word, not below it in the next section.
    const last = Math.max(0, this.chunk.parsedText.trimEnd().length - 1);
    const start = Math.min(error.pos[0], last);
    const end = Math.max(start + 1, Math.min(error.pos[1], last + 1));
    const span = { chunk: this.chunk, start, end: Math.min(end, this.chunk.text.length) };
    if (error.code === 'TAB_AS_INDENT') {
      this.#fault('tab-indentation', span, TAB);
    } else {
      this.#fault('syntax-error', span, syntaxMessage(error.code, error.message));
    }
  }

  #node(source: unknown): Node {
    if (isAlias(source)) return this.#target(source.source, rangeOf(source.range));
    const [start, end] = rangeOf((source as { range?: [number, number, number] | null } | null)?.range);
    const anchor = (source as { anchor?: string } | null)?.anchor;
    if (anchor !== undefined) {
      this.#anchors.set(anchor, { node: source, span: this.#anchorSpan(anchor, start), used: false });
    }
    const node = isMap(source)
      ? this.#mapping(source.items, start, end, source.flow === true)
      : isSeq(source)
        ? this.#sequence(source.items, start, end, source.flow === true)
        : this.#scalar(source, start, end);
    if (node.type === 'scalar') this.#sizes.set(node, 1);
    this.#made.set(source, node);
    return node;
  }

  /** The parser does not include the anchor, which precedes the node, in the node's range. */
  #anchorSpan(name: string, nodeStart: number): Span {
    const start = Math.max(0, this.chunk.text.lastIndexOf(`&${name}`, nodeStart));
    return { chunk: this.chunk, start, end: start + name.length + 1 };
  }

  /** The target of an alias: the same object, so its position is where it is written. */
  #target(name: string, [start, end]: [number, number]): Node {
    const here = new ScalarNode(this.chunk, start, end, null, '', 'empty');
    this.#sizes.set(here, 1);
    const anchor = this.#anchors.get(name);
    if (anchor) anchor.used = true;
    const target = anchor && this.#made.get(anchor.node);
    if (!anchor) {
      this.chunk.looseAlias = true;
      this.#fault('syntax-error', here, `Alias \`*${name}\` has no anchor \`&${name}\` above it.`);
    } else if (!target)
      this.#fault('syntax-error', here, `Alias \`*${name}\` refers to a value that contains it.`);
    return target ?? here;
  }

  #scalar(source: unknown, start: number, end: number): ScalarNode {
    if (!isScalar(source)) return new ScalarNode(this.chunk, start, end, null, '', 'empty');
    const value = typeof source.value === 'bigint' ? Number(source.value) : source.value;
    const style = styleOf(source.type, start === end);
    const text = style === 'plain' ? (source.source ?? '') : typeof value === 'string' ? value : '';
    return new ScalarNode(this.chunk, start, end, isPlain(value) ? value : null, text, style);
  }

  #mapping(items: unknown[], start: number, end: number, flow: boolean): MappingNode {
    const mapping = new MappingNode(
      this.chunk,
      start,
      flow ? end : Math.max(start, endOf(items.at(-1))),
      flow,
    );
    let size = 1;
    for (const item of items) {
      if (!isPair(item)) continue;
      const key = this.#node(item.key);
      if (key.type !== 'scalar') {
        this.#fault('syntax-error', key, 'A key must be plain text, not a list or a section.');
        continue;
      }
      const value = item.value === null ? this.#nothing(key.end) : this.#node(item.value);
      size += 1 + this.#sizeOf(value);
      this.#adopt(mapping, key.text, value, size, (child) => mapping.entries.push({ key, value: child }));
      if (!key.parent) key.parent = mapping;
    }
    reportDuplicates(mapping, (span, message, other) => this.#fault('duplicate-key', span, message, other));
    this.#sizes.set(mapping, size);
    return mapping;
  }

  #sequence(items: unknown[], start: number, end: number, flow: boolean): SequenceNode {
    const sequence = new SequenceNode(
      this.chunk,
      start,
      flow ? end : Math.max(start, endOf(items.at(-1))),
      flow,
    );
    let size = 1;
    items.forEach((item, index) => {
      const child = isPair(item) ? this.#mapping([item], ...pairRange(item), true) : this.#node(item);
      size += this.#sizeOf(child);
      this.#adopt(sequence, index, child, size, (node) => sequence.items.push(node));
    });
    this.#sizes.set(sequence, size);
    return sequence;
  }

  #adopt(
    parent: MappingNode | SequenceNode,
    step: string | number,
    child: Node,
    size: number,
    add: (n: Node) => void,
  ) {
    if (size > MAX_NODES) {
      this.#fault('syntax-error', parent, unreadable(`its aliases expand to more than ${MAX_NODES} values`));
      return add(this.#nothing(parent.start));
    }
    if (child.parent === undefined) {
      child.parent = parent;
      child.step = step;
    }
    add(child);
  }

  #sizeOf(node: Node): number {
    return this.#sizes.get(node) ?? 1;
  }

  #nothing(at: number): ScalarNode {
    return new ScalarNode(this.chunk, at, at, null, '', 'empty');
  }
}

/** Reports every key that repeats an earlier one in the same mapping. */
export function reportDuplicates(
  mapping: MappingNode,
  report: (span: Span, message: string, other: Span) => void,
): void {
  for (const { key } of mapping.entries) {
    const first = mapping.entry(key.text)!.key;
    if (first !== key) report(key, `Duplicate key \`${key.text}\`; only the first one is used.`, first);
  }
}

function rangeOf(range: readonly [number, number, number] | null | undefined): [number, number] {
  return range ? [range[0], range[1]] : [0, 0];
}

function pairRange(pair: { key: unknown; value: unknown }): [number, number] {
  const key = rangeOf((pair.key as { range?: [number, number, number] | null } | null)?.range);
  return [key[0], endOf(pair)];
}

/** The end of a node. The parser extends a block to the next key; here it ends with its last word. */
function endOf(source: unknown): number {
  if (isPair(source)) return Math.max(endOf(source.key), endOf(source.value));
  if (isCollection(source) && !source.flow && source.items.length > 0) return endOf(source.items.at(-1));
  return rangeOf((source as { range?: [number, number, number] | null } | null)?.range)[1];
}

function styleOf(type: string | null | undefined, empty: boolean): ScalarStyle {
  if (type === 'QUOTE_DOUBLE' || type === 'QUOTE_SINGLE') return 'quoted';
  if (type === 'BLOCK_FOLDED' || type === 'BLOCK_LITERAL') return 'block';
  return empty ? 'empty' : 'plain';
}

function isPlain(value: unknown): value is string | number | boolean | null {
  return value === null || ['string', 'number', 'boolean'].includes(typeof value);
}

function firstLineEnd(text: string): number {
  const end = text.search(/[\r\n]/);
  return Math.min(end < 0 ? text.length : end, 200);
}

const unreadable = (reason: string): string => `This part cannot be read: ${reason}.`;

/** Finds where brackets or dashes are nested too deeply, without parsing. */
function nestingFault(text: string): { start: number; end: number; message: string } | undefined {
  const message = unreadable(`it is nested more than ${MAX_NESTING} levels deep`);
  let depth = 0;
  for (let at = 0; at < text.length; at++) {
    const code = text.charCodeAt(at);
    if (code === 91 || code === 123) {
      if (++depth > MAX_NESTING) return { start: at, end: at + 1, message };
    } else if ((code === 93 || code === 125) && depth > 0) depth--;
  }
  const dashes = new RegExp(`^[ ]*(?:[-?] ){${MAX_NESTING}}`, 'm').exec(text);
  return dashes ? { start: dashes.index, end: dashes.index + 1, message } : undefined;
}
