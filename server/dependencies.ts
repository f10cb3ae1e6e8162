/** Which files were read, or looked for, to analyse a file. */
export class Dependencies {
  readonly #reads = new Map<string, ReadonlySet<string>>();
  readonly #readers = new Map<string, Set<string>>();

  /** The files whose analysis reads a path, usually including the file itself. */
  readersOf(path: string): ReadonlySet<string> {
    return this.#readers.get(path) ?? NONE;
  }

  /** Records what a file reads now; returns the paths that no file reads any more. */
  set(reader: string, reads: ReadonlySet<string>): string[] {
    const before = this.#reads.get(reader) ?? NONE;
    if (reads.size > 0) this.#reads.set(reader, reads);
    else this.#reads.delete(reader);
    for (const path of reads) {
      const readers = this.#readers.get(path);
      if (readers) readers.add(reader);
      else this.#readers.set(path, new Set([reader]));
    }
    return [...before].filter((path) => !reads.has(path) && this.#isLastReader(reader, path));
  }

  delete(reader: string): string[] {
    return this.set(reader, NONE);
  }

  #isLastReader(reader: string, path: string): boolean {
    const readers = this.#readers.get(path)!;
    readers.delete(reader);
    if (readers.size > 0) return false;
    this.#readers.delete(path);
    return true;
  }
}

const NONE: ReadonlySet<string> = new Set();
