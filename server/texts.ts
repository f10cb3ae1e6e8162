import type { Project } from '../shared/configuration/project.ts';
import { clearCaches } from '../shared/memo.ts';
import { type Rewriting, readSource, rewritten, type SourceFile } from '../shared/source/source-file.ts';
import { Recent } from './recent.ts';

/** What the host gives of the disk; all paths are absolute and use `/`. */
export interface Disk {
  /** The text of a file, undefined where there is none; asked only for files that may be read. */
  read(path: string): string | undefined;
  /** The paths of the engine and controller files below a folder. */
  list?(folder: string): readonly string[];
  /** Where a path leads when links are followed. */
  realPath?(path: string): string;
  /** Something that is another one after a file has changed, and costs less than to read it; undefined without a file. */
  stamp?(path: string): string | undefined;
}

interface OnDisk {
  /** Taken before the text was first read, so a change while it was read is noticed. */
  readonly stamp: string | undefined;
  readonly isMissing: boolean;
  /** It was read again after its tree was let go of, and may have changed in between. */
  readonly mayDiffer: boolean;
}

/** With what was made of it the tree of a text takes some forty times its memory: trees of so many UTF-16 units are kept. */
const MOST_PARSED = 4_000_000;
/** What even the tree of an empty text weighs, in the same units. */
const LEAST_WEIGHT = 1_000;

/** Caches are cleared after so much text was closed, in the same units, and at least as much as stays open. */
const CLOSED_TEXT = 1_000_000;

/** So many files, and so many ms, at a time to look for changes on disk. */
const MOST_LOOKS = 100;
const LONGEST_LOOK = 5;

/**
 * The files of a workspace: open documents as the editor tells them, all others as they stand on disk. While a tree is
 * kept, and its text is the same, everybody gets the same one.
 */
export class Texts implements Project {
  readonly #trees: Recent<SourceFile>;
  /** Open documents, with the text of those whose tree was let go of. */
  readonly #open = new Map<string, string | undefined>();
  readonly #onDisk = new Map<string, OnDisk>();
  #closed = 0;

  constructor(
    readonly disk: Disk,
    readonly refusal: Project['refusal'],
    mostParsed = MOST_PARSED,
  ) {
    this.#trees = new Recent(mostParsed);
  }

  source(path: string): SourceFile | undefined {
    const kept = this.#trees.get(path);
    if (kept) return kept;
    const text = this.#open.get(path) ?? this.#read(path);
    return text === undefined ? undefined : this.#keep(readSource(path, text));
  }

  rewrite(path: string, changes: readonly Rewriting[]): void {
    let file = changes[0]?.range ? this.source(path) : this.#trees.get(path);
    for (const change of changes) file = file ? rewritten(file, change) : readSource(path, change.text);
    if (!file) return;
    this.#onDisk.delete(path);
    this.#open.set(path, undefined);
    this.#keep(file);
  }

  isOpen(path: string): boolean {
    return this.#open.has(path);
  }

  /** From now on a file is what stands on disk. */
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

  /** Reads a file again that has changed on disk. What stayed the same in its tree stays in it. */
  reread(path: string): void {
    const earlier = this.#trees.peek(path);
    this.forget(path);
    const text = earlier && this.#read(path);
    if (text !== undefined) this.#keep(rewritten(earlier!, { text }));
  }

  /** The files whose change on disk nobody has told. Of many a few are looked at, the others in their turn. */
  changedOnDisk(): string[] {
    const changed: string[] = [];
    const until = performance.now() + LONGEST_LOOK;
    let left = Math.min(this.#onDisk.size, MOST_LOOKS);
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

  /** The same files; the paths of those that are asked for are noted. */
  noting(reads: Set<string>): Project {
    return {
      source: (path) => {
        reads.add(path);
        return this.source(path);
      },
      refusal: this.refusal,
      rewrite: (path, changes) => this.rewrite(path, changes),
      forget: (path) => this.forget(path),
    };
  }

  /** These are at work, so their trees are not the next to go. */
  use(files: readonly SourceFile[]): void {
    for (const { path } of files.toReversed()) this.#trees.get(path);
  }

  /** Lets go of the trees that were used longest ago, where they are too many; gives their paths. */
  trim(): string[] {
    const before = this.#trees.weight;
    const gone = this.#trees.trim();
    this.#closed += before - this.#trees.weight;
    this.#clearCaches();
    return gone.map(([path, { text }]) => {
      if (this.#open.has(path)) this.#open.set(path, text);
      return path;
    });
  }

  /** The tables of caches never shrink; to fill them again for what is open costs no more than opening what was closed did. */
  #clearCaches(): void {
    if (this.#closed < CLOSED_TEXT || this.#closed < this.#trees.weight) return;
    this.#closed = 0;
    clearCaches();
  }

  #keep(file: SourceFile): SourceFile {
    // To ask for the whole text would put it together after every edit.
    const length = file.layout ? file.chunks.length : file.text.length;
    this.#trees.set(file.path, file, LEAST_WEIGHT + length);
    return file;
  }

  #read(path: string): string | undefined {
    const known = this.#onDisk.get(path);
    if (known?.isMissing || this.refusal(path) !== undefined) return undefined;
    const stamp = this.disk.stamp?.(path);
    const text = this.disk.read(path);
    const mayDiffer = known !== undefined && (known.mayDiffer || known.stamp !== stamp);
    this.#onDisk.set(path, { stamp, isMissing: text === undefined, mayDiffer });
    return text;
  }

  #isSameText(path: string): boolean {
    const kept = this.#trees.peek(path);
    return kept !== undefined && this.refusal(path) === undefined && this.disk.read(path) === kept.text;
  }
}
