import { groupedBy } from '../grouped-by.ts';
import { type Change, firstAt } from './change.ts';
import { belowKey, cutAtKeys, type Layout, type Stretch, wholeText } from './cut.ts';
import { parseChunk, reportDuplicates } from './parse.ts';
import type { Text } from './text.ts';
import { type Chunk, MappingNode, type ScalarNode, type SyntaxFault } from './tree.ts';

/** A chunk, or the block below a key that was split further; the chunk before that block ends with the key. */
type Part = Chunk | Block;

/** Up to this many lookups search the parts directly; then an index is built. */
const FEW_QUESTIONS = 16;

/**
 * A block mapping split into parts, and the mapping that they form. Positions count UTF-16 units from the start of the
 * block, so an unchanged block is the same object in the next version, wherever it has moved, and results cached by it
 * stay valid. The block of a whole text knows the current position of every chunk.
 */
export class Block implements Text, Iterable<readonly [chunk: Chunk, start: number]> {
  readonly root: MappingNode;
  readonly faults: readonly SyntaxFault[];
  readonly length: number;
  /** The number of chunks. */
  readonly size: number;
  readonly starts: Int32Array;
  /** Whether an alias refers to an anchor in another chunk. */
  readonly looseAlias: boolean;
  #asked = 0;
  #indexes: Map<Part, number> | undefined;

  /** `key` is the key above the block; undefined for a whole text. */
  constructor(
    readonly parts: readonly Part[],
    readonly key: ScalarNode | undefined,
  ) {
    this.starts = new Int32Array(parts.length);
    let [length, size, looseAlias] = [0, 0, false];
    const faults: SyntaxFault[] = [];
    parts.forEach((part, i) => {
      this.starts[i] = length;
      length += lengthOf(part);
      size += isBlock(part) ? part.size : 1;
      looseAlias ||= part.looseAlias;
      for (const fault of part.faults) faults.push(fault);
    });
    this.length = length;
    this.size = size;
    this.looseAlias = looseAlias;
    this.root = mappingOf(parts, key);
    // A single chunk has reported its own duplicates.
    if (size > 1) reportRepeated(this.root, faults);
    this.faults = faults;
  }

  slice(start: number, end: number): string {
    let text = '';
    for (let i = this.#indexAt(start); i < this.parts.length && this.starts[i]! < end; i++) {
      const [part, at] = [this.parts[i]!, this.starts[i]!];
      text += (isBlock(part) ? part : part.text).slice(Math.max(0, start - at), end - at);
    }
    return text;
  }

  toString(): string {
    const texts: string[] = [];
    for (const { text } of this.keys()) texts.push(text);
    return texts.join('');
  }

  /** The position of a chunk; undefined if it belongs to another version or file. */
  get(chunk: Chunk): number | undefined {
    return this.#startOf(chunk, 0);
  }

  has(chunk: Chunk): boolean {
    return this.get(chunk) !== undefined;
  }

  /** The chunks in the order of the text. */
  *keys(): Generator<Chunk> {
    for (const part of this.parts) {
      if (isBlock(part)) yield* part.keys();
      else yield part;
    }
  }

  [Symbol.iterator](): Iterator<readonly [Chunk, number]> {
    return this.#from(0);
  }

  /** The last chunk that begins at or before an offset. */
  before(offset: number): { readonly chunk: Chunk; readonly start: number } {
    const i = this.#indexAt(offset);
    const [part, start] = [this.parts[i]!, this.starts[i]!];
    if (!isBlock(part)) return { chunk: part, start };
    const inside = part.before(offset - start);
    return { chunk: inside.chunk, start: start + inside.start };
  }

  /** The index of the last part that begins at or before an offset; 0 if none does. */
  #indexAt(offset: number): number {
    return Math.max(0, firstAt(this.starts, offset + 1) - 1);
  }

  *#from(at: number): Generator<readonly [Chunk, number]> {
    for (const [i, part] of this.parts.entries()) {
      if (isBlock(part)) yield* part.#from(at + this.starts[i]!);
      else yield [part, at + this.starts[i]!];
    }
  }

  #startOf(chunk: Chunk, depth: number): number | undefined {
    if (chunk.prefix.length === depth) {
      const index = this.#indexOf(chunk);
      return index === undefined ? undefined : this.starts[index];
    }
    for (let i = 0; i < this.parts.length; i++) {
      const part = this.parts[i]!;
      if (!isBlock(part) || part.key!.text !== chunk.prefix[depth]) continue;
      const inside = part.#startOf(chunk, depth + 1);
      if (inside !== undefined) return this.starts[i]! + inside;
    }
    return undefined;
  }

  #indexOf(part: Part): number | undefined {
    if (++this.#asked <= FEW_QUESTIONS) {
      const index = this.parts.indexOf(part);
      return index < 0 ? undefined : index;
    }
    this.#indexes ??= new Map(this.parts.map((one, i) => [one, i]));
    return this.#indexes.get(part);
  }
}

const isBlock = (part: Part): part is Block => part instanceof Block;

const lengthOf = (part: Part): number => (isBlock(part) ? part.length : part.text.length);

/** The mapping that all parts form. A key at the end of a chunk gets the block that follows as its value. */
function mappingOf(parts: readonly Part[], key: ScalarNode | undefined): MappingNode {
  const first = parts[0] as Chunk;
  if (!key && parts.length === 1) return first.root;
  const mapping = key
    ? new MappingNode(key.chunk, key.end, key.end, false)
    : new MappingNode(first, 0, first.text.length, false);
  if (key) {
    mapping.parent = key.chunk.root;
    mapping.step = key.text;
  }
  const { entries } = mapping;
  for (const part of parts) {
    if (isBlock(part)) entries[entries.length - 1] = { key: part.key!, value: part.root };
    else for (const entry of part.root.entries) entries.push(entry);
  }
  return mapping;
}

function reportRepeated(mapping: MappingNode, faults: SyntaxFault[]): void {
  reportDuplicates(mapping, ({ chunk, start, end }, message, other) =>
    faults.push({ rule: 'duplicate-key', chunk, start, end, message, other }),
  );
}

/** A text with its layout, and what is known of the previous version. */
export interface Version {
  readonly path: string;
  readonly text: Text;
  readonly layout: Layout;
  readonly earlier?: { readonly block: Block; readonly change: Change } | undefined;
}

/** Reads a text. Parts of the previous version with unchanged text are reused with all their nodes. */
export function readBlocks(version: Version): Block {
  const whole = wholeText(version.text, version.layout);
  const block = whole && new Reader(version).read(whole);
  // If an alias refers to an anchor in another chunk, the text must be parsed as a whole.
  if (block && !block.looseAlias) return block;
  return new Block([parseChunk(version.path, String(version.text), [])], undefined);
}

/** A block of the previous version and its position there. */
interface Before {
  readonly block: Block;
  readonly start: number;
}

class Reader {
  readonly #version: Version;
  /** The previous chunks in the changed lines. Their text may still occur there, at another position. */
  #touched: Map<string, Chunk[]> | undefined;

  constructor(version: Version) {
    this.#version = version;
  }

  read(whole: Stretch): Block {
    const { earlier } = this.#version;
    return this.#block(whole, [], undefined, earlier && { block: earlier.block, start: 0 });
  }

  #block(
    stretch: Stretch,
    prefix: readonly string[],
    key: ScalarNode | undefined,
    before: Before | undefined,
  ): Block {
    const { text, layout } = this.#version;
    const last = before && new Walk(before, this.#version.earlier!.change);
    const parts: Part[] = [];
    for (const one of cutAtKeys(layout, stretch)) {
      if (last?.takeUntouched(one, parts)) continue;
      const long = belowKey(text, layout, one);
      const head = this.#chunk(one.start, long ? long.below.start : one.end, prefix);
      parts.push(head);
      if (!long) continue;
      const inside = last?.blockBelow(long.key);
      parts.push(this.#block(long.below, [...prefix, long.key], head.root.entries.at(-1)!.key, inside));
    }
    const known = before?.block;
    const isSame =
      known?.key === key &&
      known?.parts.length === parts.length &&
      parts.every((part, i) => part === known.parts[i]);
    return isSame ? known! : new Block(parts, key);
  }

  #chunk(start: number, end: number, prefix: readonly string[]): Chunk {
    const { path, text, earlier } = this.#version;
    const body = text.slice(start, end);
    if (!earlier) return parseChunk(path, body, prefix);
    this.#touched ??= groupedBy(chunksTouched(earlier.block, 0, earlier.change), (chunk) =>
      chunkKey(chunk.prefix, chunk.text),
    );
    return this.#touched.get(chunkKey(prefix, body))?.pop() ?? parseChunk(path, detached(body), prefix);
  }
}

/** Walks through a previous block in parallel with its next version; both are in the order of the text. */
class Walk {
  #at = 0;

  constructor(
    readonly before: Before,
    readonly change: Change,
  ) {}

  /** Reuses the parts of an unchanged stretch; returns whether it could. */
  takeUntouched({ start, end }: Stretch, taken: Part[]): boolean {
    const { from, to, shift } = this.change;
    if (end > from && start < to) return false;
    const { starts, parts } = this.before.block;
    const place = (end <= from ? start : start - shift) - this.before.start;
    while (starts[this.#at]! < place) this.#at++;
    if (starts[this.#at] !== place) return false;
    const head = parts[this.#at]!;
    const next = parts[this.#at + 1];
    const rest = end - start - lengthOf(head);
    const isWhole = rest === 0 || (next !== undefined && isBlock(next) && next.length === rest);
    if (isWhole) taken.push(head);
    if (isWhole && rest > 0) taken.push(next!);
    return isWhole;
  }

  /** The previous block below a key. */
  blockBelow(key: string): Before | undefined {
    const { block, start } = this.before;
    const index = block.parts.findIndex((part) => isBlock(part) && part.key!.text === key);
    return index < 0
      ? undefined
      : { block: block.parts[index] as Block, start: start + block.starts[index]! };
  }
}

function* chunksTouched(block: Block, at: number, change: Change): Generator<Chunk> {
  const { from, to, shift } = change;
  const { parts, starts } = block;
  for (let i = Math.max(0, firstAt(starts, from - at) - 1); i < parts.length; i++) {
    const [part, start] = [parts[i]!, at + starts[i]!];
    if (start >= to - shift) return;
    if (isBlock(part)) yield* chunksTouched(part, start, change);
    else if (start + part.text.length > from) yield part;
  }
}

/**
 * Copies a slice. V8 would otherwise keep the whole text that it was cut from in memory, and another one after each
 * edit.
 */
const detached = (body: string): string => JSON.parse(JSON.stringify(body));

const chunkKey = (prefix: readonly string[], text: string): string => `${prefix.join('/')}\n${text}`;
