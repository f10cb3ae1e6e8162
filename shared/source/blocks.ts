import { groupedBy } from '../grouped-by.ts';
import { type Change, firstAt } from './change.ts';
import { belowKey, cutAtKeys, type Layout, type Stretch, wholeText } from './cut.ts';
import { parseChunk, reportDuplicates } from './parse.ts';
import type { Text } from './text.ts';
import { type Chunk, MappingNode, type ScalarNode, type SyntaxFault } from './tree.ts';

/** A chunk, or what stands below a key and was cut further; the chunk right before it ends with that key. */
type Part = Chunk | Block;

/** So many parts are looked for one by one before a table of them is made. */
const FEW_QUESTIONS = 16;

/**
 * The parts of a block mapping, and the mapping that they make. Places count UTF-16 units from the block's own start, so a
 * block in which nothing changed is the same object in the next version, with all that was made of it, wherever it
 * stands then. The block of a whole text thus tells where each chunk of it stands.
 */
export class Block implements Text, Iterable<readonly [chunk: Chunk, start: number]> {
  readonly root: MappingNode;
  readonly faults: readonly SyntaxFault[];
  readonly length: number;
  /** How many chunks it has. */
  readonly size: number;
  readonly starts: Int32Array;
  /** Whether an alias names an anchor that stands in another chunk. */
  readonly looseAlias: boolean;
  #asked = 0;
  #indexes: Map<Part, number> | undefined;

  /** `key` is what the block stands below; undefined for a whole text. */
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
    // The only chunk of a text has told its own.
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

  /** Where a chunk stands; undefined where it is of another version or file. */
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

  /** The last chunk that begins at an offset or before it. */
  before(offset: number): { readonly chunk: Chunk; readonly start: number } {
    const i = this.#indexAt(offset);
    const [part, start] = [this.parts[i]!, this.starts[i]!];
    if (!isBlock(part)) return { chunk: part, start };
    const inside = part.before(offset - start);
    return { chunk: inside.chunk, start: start + inside.start };
  }

  /** The last part that begins at an offset or before it; the first where none does. */
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

/** One mapping of all parts. A key with nothing behind it holds the block that follows. */
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

/** A text, and what is known of the version before it. */
export interface Version {
  readonly path: string;
  readonly text: Text;
  readonly layout: Layout;
  readonly earlier?: { readonly block: Block; readonly change: Change } | undefined;
}

/** Reads a text. Parts of the earlier version whose text is the same are taken over with all their nodes. */
export function readBlocks(version: Version): Block {
  const whole = wholeText(version.text, version.layout);
  const block = whole && new Reader(version).read(whole);
  // An alias may name an anchor in another chunk: only the whole text can tell.
  if (block && !block.looseAlias) return block;
  return new Block([parseChunk(version.path, String(version.text), [])], undefined);
}

/** A block of the earlier version, and where it stood. */
interface Before {
  readonly block: Block;
  readonly start: number;
}

class Reader {
  readonly #version: Version;
  /** Chunks of the earlier version in the lines that changed: one may stand there still, in another place. */
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

/** Walks through an earlier block beside the next version of it. Both stand in the order of the text. */
class Walk {
  #at = 0;

  constructor(
    readonly before: Before,
    readonly change: Change,
  ) {}

  /** Takes the parts of a stretch in which nothing changed, as they were. Gives whether it could. */
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

  /** The block that stood below a key. */
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
 * The same text as one of its own: a slice would keep the whole text that it was cut from for as long as it lives, and
 * with each edit another one.
 */
const detached = (body: string): string => JSON.parse(JSON.stringify(body));

const chunkKey = (prefix: readonly string[], text: string): string => `${prefix.join('/')}\n${text}`;
