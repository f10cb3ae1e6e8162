import {
  type Document,
  isAlias,
  isCollection,
  isMap,
  isPair,
  isScalar,
  isSeq,
  parseDocument,
  type YAMLError,
} from 'yaml';
import { readPlain } from './plain.ts';
import { syntaxMessage } from './syntax-message.ts';
import {
  type Chunk,
  MappingNode,
  MOST_NODES,
  type Node,
  ScalarNode,
  type ScalarStyle,
  SequenceNode,
  type Span,
  type SyntaxFault,
} from './tree.ts';

/** More nesting than any configuration has; past it the text is refused before a parser's stack is. */
export const DEEPEST_NESTING = 64;
/** After so many faults in one piece the rest says nothing new. */
const MOST_FAULTS = 20;

type MutableChunk = { -readonly [K in keyof Chunk]: Chunk[K] } & { faults: SyntaxFault[] };

/** Parses one piece of text. Never throws: what is wrong stands in the chunk's faults, what can be read in its tree. */
export function parseChunk(file: string, text: string, prefix: readonly string[]): Chunk {
  const chunk = emptyChunk(file, text, prefix);
  const plain = readPlain(chunk);
  if (plain) chunk.root = plain;
  else readByLibrary(chunk);
  return chunk;
}

/** As `parseChunk` does, but by the YAML library alone, which takes ten times as long for the same tree. */
export function parseByLibrary(file: string, text: string, prefix: readonly string[]): Chunk {
  const chunk = emptyChunk(file, text, prefix);
  readByLibrary(chunk);
  return chunk;
}

function emptyChunk(file: string, text: string, prefix: readonly string[]): MutableChunk {
  const chunk = { file, text, prefix, faults: [], looseAlias: false } as unknown as MutableChunk;
  chunk.root = new MappingNode(chunk, 0, text.length, false);
  return chunk;
}

function readByLibrary(chunk: MutableChunk): void {
  const { text } = chunk;
  const tooDeep = nestingFault(text);
  if (tooDeep) {
    chunk.faults.push({ rule: 'syntax-error', chunk, ...tooDeep });
    return;
  }
  try {
    const document = parseDocument(text, {
      schema: 'core',
      merge: false,
      uniqueKeys: false,
      prettyErrors: false,
      // At 'silent' the library drops a second document without a word.
      logLevel: 'error',
    });
    new TreeBuilder(chunk, document).build();
  } catch (error) {
    // The parser's own stack may give out on texts made to do that.
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

class TreeBuilder {
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
        this.#fault('syntax-error', root, 'A configuration is a mapping: lines of `key: value`.');
      }
    }
    for (const [name, anchor] of this.#anchors) {
      if (!anchor.used)
        this.#fault('unused-anchor', anchor.span, `Nothing refers to the anchor \`&${name}\`.`);
    }
  }

  #fault(rule: SyntaxFault['rule'], span: Span, message: string, other?: Span): void {
    if (this.chunk.faults.length >= MOST_FAULTS) return;
    const { start, end } = span;
    this.chunk.faults.push({ rule, chunk: this.chunk, start, end, message, ...(other && { other }) });
  }

  #syntaxFault(error: YAMLError): void {
    // What is missed at the end is shown at the last word, not below it in the next section.
    const last = Math.max(0, this.chunk.text.trimEnd().length - 1);
    const start = Math.min(error.pos[0], last);
    const end = Math.max(start + 1, Math.min(error.pos[1], last + 1));
    const span = { chunk: this.chunk, start, end: Math.min(end, this.chunk.text.length) };
    if (error.code === 'TAB_AS_INDENT') {
      this.#fault('tab-indentation', span, 'A tab stands where YAML wants spaces.');
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

  /** The parser leaves the anchor out of the range of what it names; it stands right before. */
  #anchorSpan(name: string, nodeStart: number): Span {
    const start = Math.max(0, this.chunk.text.lastIndexOf(`&${name}`, nodeStart));
    return { chunk: this.chunk, start, end: start + name.length + 1 };
  }

  /** The node that an alias names: it is the very same node, so its origin is where it was written. */
  #target(name: string, [start, end]: [number, number]): Node {
    const here = new ScalarNode(this.chunk, start, end, null, '', 'empty');
    this.#sizes.set(here, 1);
    const anchor = this.#anchors.get(name);
    if (anchor) anchor.used = true;
    const target = anchor && this.#made.get(anchor.node);
    if (!anchor) {
      this.chunk.looseAlias = true;
      this.#fault('syntax-error', here, `No anchor \`&${name}\` stands above this alias.`);
    } else if (!target)
      this.#fault('syntax-error', here, `The alias \`*${name}\` stands inside what it names.`);
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
        this.#fault('syntax-error', key, 'A key is plain text, not a list or a mapping.');
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
    if (size > MOST_NODES) {
      this.#fault('syntax-error', parent, unreadable(`its aliases unfold to more than ${MOST_NODES} values`));
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

/** Reports every key that repeats an earlier one of the same mapping. */
export function reportDuplicates(
  mapping: MappingNode,
  report: (span: Span, message: string, other: Span) => void,
): void {
  for (const { key } of mapping.entries) {
    const first = mapping.entry(key.text)!.key;
    if (first !== key) report(key, `The key \`${key.text}\` stands twice; only the first one counts.`, first);
  }
}

function rangeOf(range: readonly [number, number, number] | null | undefined): [number, number] {
  return range ? [range[0], range[1]] : [0, 0];
}

function pairRange(pair: { key: unknown; value: unknown }): [number, number] {
  const key = rangeOf((pair.key as { range?: [number, number, number] | null } | null)?.range);
  return [key[0], endOf(pair)];
}

/** Where something ends. The parser lets a block reach to the next key; we want it to end with its last word. */
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

const unreadable = (reason: string): string => `This part can't be read: ${reason}.`;

/** Finds the place where brackets or dashes nest past all reason, without a parser. */
function nestingFault(text: string): { start: number; end: number; message: string } | undefined {
  const message = unreadable(`it is nested more than ${DEEPEST_NESTING} levels deep`);
  let depth = 0;
  for (let at = 0; at < text.length; at++) {
    const code = text.charCodeAt(at);
    if (code === 91 || code === 123) {
      if (++depth > DEEPEST_NESTING) return { start: at, end: at + 1, message };
    } else if ((code === 93 || code === 125) && depth > 0) depth--;
  }
  const dashes = new RegExp(`^[ ]*(?:[-?] ){${DEEPEST_NESTING}}`, 'm').exec(text);
  return dashes ? { start: dashes.index, end: dashes.index + 1, message } : undefined;
}
