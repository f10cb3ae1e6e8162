import type { Project } from '../shared/configuration/project.ts';
import { clearCaches } from '../shared/memo.ts';
import { type Rewriting, readSource, rewritten, type SourceFile } from '../shared/source/source-file.ts';
import type { Boundary } from './boundary.ts';
import { LruCache } from './lru-cache.ts';

/** The host's access to the disk; all paths are absolute and use `/`. */
export interface Disk {
  /** The text of a file, undefined if it does not exist; called only for files that may be read. */
  read(path: string): string | undefined;
  /** The paths of the engine and controller files in a folder. */
  list?(folder: string): readonly string[];
  /** The path with links resolved. */
  realPath?(path: string): string;
  /** A text that differs after the file has changed, cheaper than reading the file; undefined without a file. */
  stamp?(path: string): string | undefined;
}

interface OnDisk {
  /** Taken before the text was first read, so that a change during reading is noticed. */
  readonly stamp: string | undefined;
  readonly isMissing: boolean;
  /** It was read again after its tree was evicted, and may have changed in between. */
  readonly mayDiffer: boolean;
}

/** The limit in UTF-16 units of text. A tree, with what is cached by its nodes, takes about forty times that memory. */
const MOST_PARSED = 4_000_000;
/** The weight of the tree of an empty text, in the same units. */
const LEAST_WEIGHT = 1_000;

/** Caches are cleared when this much text was closed, in the same units, and at least as much as remains open. */
const CLOSED_TEXT = 1_000_000;

/** The maximum number of files, and of ms, per round of looking for changes on disk. */
const FILES_PER_ROUND = 100;
const LONGEST_ROUND = 5;

/**
 * The files of a workspace: open documents as in the editor, all others as on disk. Trees are cached; while a tree is cached
 * and its text does not change, all callers get the same object.
 */
export class Texts {
  readonly #trees: LruCache<SourceFile>;
  /** Open documents, with the text of those whose tree was evicted. */
  readonly #open = new Map<string, string | undefined>();
  readonly #onDisk = new Map<string, OnDisk>();
  #closed = 0;

  constructor(
    readonly disk: Disk,
    readonly boundary: Boundary,
    mostParsed = MOST_PARSED,
  ) {
    this.#trees = new LruCache(mostParsed);
  }

  #source(path: string): SourceFile | undefined {
    const kept = this.#trees.get(path);
    if (kept) return kept;
    const text = this.#open.get(path) ?? this.#read(path);
    return text === undefined ? undefined : this.#keep(readSource(path, text));
  }

  rewrite(path: string, changes: readonly Rewriting[]): void {
    let file = changes[0]?.range ? this.#source(path) : this.#trees.get(path);
    for (const change of changes) file = file ? rewritten(file, change) : readSource(path, change.text);
    if (!file) return;
    this.#onDisk.delete(path);
    this.#open.set(path, undefined);
    this.#keep(file);
  }

  isOpen(path: string): boolean {
    return this.#open.has(path);
  }

  /** From now on the file is read from disk. */
  close(path: string): void {
    this.#open.delete(path);
    const before = this.#trees.weight;
    this.forget(path);
    this.#closed += before - this.#trees.weight;
    this.#clearCaches();
  }

  forget(path: string): void {
    if (this.#open.has(path)) return;
    this.#trees.delete(path);
    this.#onDisk.delete(path);
  }

  forgetDisk(): void {
    for (const path of this.#onDisk.keys()) this.forget(path);
  }

  /** Rereads a file that has changed on disk. The new tree shares unchanged parts with the old one. */
  reread(path: string): void {
    const earlier = this.#trees.peek(path);
    this.forget(path);
    const text = earlier && this.#read(path);
    if (text !== undefined) this.#keep(rewritten(earlier!, { text }));
  }

  /** Finds files that have changed on disk. Checks a limited number of files, and the others in the next rounds. */
  changedOnDisk(): string[] {
    const changed: string[] = [];
    const until = performance.now() + LONGEST_ROUND;
    let left = Math.min(this.#onDisk.size, FILES_PER_ROUND);
    for (const [path, known] of this.#onDisk) {
      if (left-- === 0 || performance.now() > until) break;
      this.#onDisk.delete(path);
      const stamp = this.disk.stamp?.(path);
      const isSame = !known.mayDiffer && (stamp === known.stamp || this.#isSameText(path));
      this.#onDisk.set(path, isSame ? { ...known, stamp } : known);
      if (!isSame) changed.push(path);
    }
    return changed;
  }

  /** The files that a document may use, including itself. Records each path that is requested in `reads`. */
  projectOf(document: string, reads: Set<string> = new Set()): Project {
    const refusal = (path: string) => this.boundary.refusal(path, document);
    // An open document is not readable from another one: results must not depend on which documents are open.
    const mayRead = (path: string) => (path === document && this.isOpen(path)) || refusal(path) === undefined;
    return {
      source: (path) => {
        reads.add(path);
        return mayRead(path) ? this.#source(path) : undefined;
      },
      refusal,
      rewrite: (path, changes) => this.rewrite(path, changes),
      forget: (path) => this.forget(path),
    };
  }

  /** Counts as a use of these files: their trees are the last to be evicted. */
  use(files: readonly SourceFile[]): void {
    for (const { path } of files.toReversed()) this.#trees.get(path);
  }

  /** Evicts the least recently used trees if there are too many, and returns their paths. */
  evict(): string[] {
    const before = this.#trees.weight;
    const evicted = this.#trees.evict();
    this.#closed += before - this.#trees.weight;
    this.#clearCaches();
    return evicted.map(([path, { text }]) => {
      if (this.#open.has(path)) this.#open.set(path, text);
      return path;
    });
  }

  /** The tables of caches never shrink. Refilling them for open files costs no more than opening the closed files did. */
  #clearCaches(): void {
    if (this.#closed < CLOSED_TEXT || this.#closed < this.#trees.weight) return;
    this.#closed = 0;
    clearCaches();
  }

  #keep(file: SourceFile): SourceFile {
    // `text` would be assembled after every edit.
    const length = file.layout ? file.chunks.length : file.text.length;
    this.#trees.set(file.path, file, LEAST_WEIGHT + length);
    return file;
  }

  #read(path: string): string | undefined {
    const known = this.#onDisk.get(path);
    if (known?.isMissing) return undefined;
    const stamp = this.disk.stamp?.(path);
    const text = this.disk.read(path);
    const mayDiffer = known !== undefined && (known.mayDiffer || known.stamp !== stamp);
    this.#onDisk.set(path, { stamp, isMissing: text === undefined, mayDiffer });
    return text;
  }

  #isSameText(path: string): boolean {
    const kept = this.#trees.peek(path);
    return kept !== undefined && this.disk.read(path) === kept.text;
  }
}
