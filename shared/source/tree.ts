import { bareObject } from '../bare-object.ts';

/**
 * The tree of a configuration text. Positions count UTF-16 units from the start of the node's chunk, so an unchanged
 * chunk keeps its nodes when the text above it changes. `SourceFile` knows the current position of each chunk.
 */

/** A piece of text that is parsed and cached independently. */
export interface Chunk {
  readonly file: string;
  /** The keys that lead to the chunk's root mapping. */
  readonly prefix: readonly string[];
  readonly text: string;
  /**
   * The text as parsed, of the same length: unread parts are blank, and a `°C` destroyed by a wrong encoding is
   * restored.
   */
  readonly parsedText: string;
  readonly root: MappingNode;
  readonly faults: readonly SyntaxFault[];
  /** True if an alias refers to an anchor outside this chunk. */
  readonly looseAlias: boolean;
}

/** The maximum number of keys and values in a chunk, with aliases expanded. A larger chunk is rejected. */
export const MAX_NODES = 500_000;

/** A range of text inside a chunk. Every node is one. */
export interface Span {
  readonly chunk: Chunk;
  readonly start: number;
  readonly end: number;
}

export interface SyntaxFault extends Span {
  readonly rule:
    | 'syntax-error'
    | 'duplicate-key'
    | 'tab-indentation'
    | 'merge-conflict'
    | 'text-not-utf-8'
    | 'unused-anchor';
  readonly message: string;
  /** The earlier place that this one duplicates. */
  readonly other?: Span;
  /** The spaces that should replace the tabs. */
  readonly spaces?: string;
}

/** What decoding inserts for bytes that are not UTF-8. */
export const REPLACEMENT_CHARACTER = '\uFFFD';

export type Node = ScalarNode | MappingNode | SequenceNode;
export type PathStep = string | number;
export type ScalarStyle = 'plain' | 'quoted' | 'block' | 'empty';

abstract class TreeNode implements Span {
  parent: MappingNode | SequenceNode | undefined;
  /** The key or index of this node in its parent. */
  step: PathStep | undefined;

  constructor(
    readonly chunk: Chunk,
    readonly start: number,
    readonly end: number,
  ) {}
}

export class ScalarNode extends TreeNode {
  readonly type = 'scalar';

  constructor(
    chunk: Chunk,
    start: number,
    end: number,
    /** The value of the text in the core schema of YAML 1.2. */
    readonly value: string | number | boolean | null,
    /** The text as written, without quotes. */
    readonly text: string,
    readonly style: ScalarStyle,
  ) {
    super(chunk, start, end);
  }
}

export interface Entry {
  readonly key: ScalarNode;
  readonly value: Node;
}

/** Up to this many entries are searched directly, which is faster than an index. Most mappings are small. */
const FEW_ENTRIES = 8;

export class MappingNode extends TreeNode {
  readonly type = 'mapping';
  #byName: Map<string, Entry> | undefined;

  constructor(
    chunk: Chunk,
    start: number,
    end: number,
    readonly flow: boolean,
    readonly entries: Entry[] = [],
  ) {
    super(chunk, start, end);
  }

  /** The entry with this key; of duplicates, the first. */
  entry(name: string): Entry | undefined {
    if (this.entries.length <= FEW_ENTRIES) return this.entries.find(({ key }) => key.text === name);
    return this.#table().get(name);
  }

  /** The entries that take effect: of duplicate keys, only the first. */
  get counted(): readonly Entry[] {
    const table = this.#table();
    return table.size === this.entries.length ? this.entries : [...table.values()];
  }

  #table(): Map<string, Entry> {
    if (!this.#byName) {
      this.#byName = new Map();
      for (const entry of this.entries) {
        if (!this.#byName.has(entry.key.text)) this.#byName.set(entry.key.text, entry);
      }
    }
    return this.#byName;
  }

  get(name: string): Node | undefined {
    return this.entry(name)?.value;
  }
}

export class SequenceNode extends TreeNode {
  readonly type = 'sequence';

  constructor(
    chunk: Chunk,
    start: number,
    end: number,
    readonly flow: boolean,
    readonly items: Node[] = [],
  ) {
    super(chunk, start, end);
  }
}

/** The steps from the root of the file in which the node is written, whatever overlays it was merged into. */
export function pathOf(node: Node): PathStep[] {
  const steps: PathStep[] = [];
  for (let at: Node | undefined = node; at?.step !== undefined; at = at.parent) steps.push(at.step);
  steps.push(...[...node.chunk.prefix].reverse());
  return steps.reverse();
}

/** `fuel.dead_time.values[2]` */
export function pathText(steps: readonly PathStep[]): string {
  return steps.map((step, i) => (typeof step === 'number' ? `[${step}]` : i ? `.${step}` : step)).join('');
}

/** Whether a node is written inside a mapping, or is that mapping. */
export function isWithin(node: Node, mapping: Node): boolean {
  if (node.chunk.file !== mapping.chunk.file) return false;
  const path = pathOf(node);
  return pathOf(mapping).every((step, i) => path[i] === step);
}

export function childOf(node: Node | undefined, step: PathStep): Node | undefined {
  if (node?.type === 'mapping') return node.get(String(step));
  if (node?.type === 'sequence') return node.items[Number(step)];
  return undefined;
}

export function nodeAtPath(root: Node | undefined, steps: readonly PathStep[]): Node | undefined {
  return steps.reduce<Node | undefined>(childOf, root);
}

/**
 * The mapping that contains a key; undefined for other nodes. A key has no step of its own: its path is that of its
 * value.
 */
export const mappingOfKey = ({ type, step, parent }: Node): MappingNode | undefined =>
  type === 'scalar' && step === undefined && parent?.type === 'mapping' ? parent : undefined;

/** The text of a node or span as written, quotes included. */
export const sourceText = ({ chunk, start, end }: Span): string => chunk.text.slice(start, end);

/**
 * A range inside a scalar, given as positions in its `text`; the whole scalar if escapes make the positions unknown.
 */
export function spanInScalar(node: ScalarNode, start: number, end: number): Span {
  const quote = node.style === 'quoted' ? 1 : 0;
  const literal = node.end - node.start === node.text.length + 2 * quote;
  if (!literal) return node;
  return { chunk: node.chunk, start: node.start + quote + start, end: node.start + quote + end };
}

/** The tree as plain JSON data, for the schema validator. Mappings in `left` count as empty. */
export function plainValue(node: Node, left?: ReadonlySet<Node>): unknown {
  if (node.type === 'scalar') return node.value;
  if (node.type === 'sequence') return node.items.map((item) => plainValue(item, left));
  const object = bareObject();
  if (left?.has(node)) return object;
  for (const { key, value } of node.entries)
    if (!(key.text in object)) object[key.text] = plainValue(value, left);
  return object;
}
