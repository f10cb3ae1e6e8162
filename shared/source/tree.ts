import { bareObject } from '../bare-object.ts';

/**
 * The tree of a configuration text. Positions count UTF-16 units from the start of the chunk that holds the node, so a
 * chunk that did not change keeps its nodes when text above it moves; `SourceFile` knows where each chunk stands now.
 */

/** A piece of text that is parsed, and kept, on its own. */
export interface Chunk {
  readonly file: string;
  /** The keys that lead to the chunk's root mapping. */
  readonly prefix: readonly string[];
  readonly text: string;
  /** As long as `text`: with blanks for what is not read, and with the sign of a `°C` that was lost to another encoding. */
  readonly parsedText: string;
  readonly root: MappingNode;
  readonly faults: readonly SyntaxFault[];
  /** True where an alias names an anchor that does not stand in this chunk. */
  readonly looseAlias: boolean;
}

/** Keys and values of a chunk, where aliases repeat what they name; past so many it is refused, not expanded. */
export const MAX_NODES = 500_000;

/** A stretch of text inside a chunk. Every node is one. */
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
  /** The earlier place that this one repeats. */
  readonly other?: Span;
  /** The spaces that take the place of tabs. */
  readonly spaces?: string;
}

/** What a text holds in place of bytes that are not UTF-8. */
export const REPLACEMENT_CHARACTER = '\uFFFD';

export type Node = ScalarNode | MappingNode | SequenceNode;
export type PathStep = string | number;
export type ScalarStyle = 'plain' | 'quoted' | 'block' | 'empty';

abstract class TreeNode implements Span {
  parent: MappingNode | SequenceNode | undefined;
  /** The key or index under which the parent holds this node. */
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
    /** What the core schema of YAML 1.2 makes of the text. */
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

/** So few are looked through sooner than a table of them is made, and most mappings are small. */
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

  /** The entry of this name; of several, the first. */
  entry(name: string): Entry | undefined {
    if (this.entries.length <= FEW_ENTRIES) return this.entries.find(({ key }) => key.text === name);
    return this.#table().get(name);
  }

  /** The entries that count: of those with the same key the first. */
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

/** The steps from the file's root to the node: where it was written, whatever overlays it was merged into. */
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

/** Whether a node was written inside a mapping (or is it). */
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

/** The mapping that a key stands in; undefined for what is no key. A key has no step: its path is that of what it names. */
export const mappingOfKey = ({ type, step, parent }: Node): MappingNode | undefined =>
  type === 'scalar' && step === undefined && parent?.type === 'mapping' ? parent : undefined;

/** The text of a node or span as written, quotes included. */
export const sourceText = ({ chunk, start, end }: Span): string => chunk.text.slice(start, end);

/** A stretch inside a scalar, given in positions of its `text`; the whole scalar where escapes hide the positions. */
export function spanInScalar(node: ScalarNode, start: number, end: number): Span {
  const quote = node.style === 'quoted' ? 1 : 0;
  const literal = node.end - node.start === node.text.length + 2 * quote;
  if (!literal) return node;
  return { chunk: node.chunk, start: node.start + quote + start, end: node.start + quote + end };
}

/**
 * The plain value of a tree, as JSON would carry it; what the schema's validator reads. Mappings that are `left` out count
 * as empty.
 */
export function plainValue(node: Node, left?: ReadonlySet<Node>): unknown {
  if (node.type === 'scalar') return node.value;
  if (node.type === 'sequence') return node.items.map((item) => plainValue(item, left));
  const object = bareObject();
  if (left?.has(node)) return object;
  for (const { key, value } of node.entries)
    if (!(key.text in object)) object[key.text] = plainValue(value, left);
  return object;
}
