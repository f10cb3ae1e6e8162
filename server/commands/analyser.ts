import { type Analysis, analyse } from '../../shared/analysis.ts';
import type { Project } from '../../shared/configuration/project.ts';
import type { SourceFile } from '../../shared/source/source-file.ts';

/** UTF-16 units of base and controller files that are kept; a tree takes some fifty times as much memory. */
const MOST_SHARED_TEXT = 1_500_000;

/**
 * Analyses any number of files of a project, one after the other: the tree of a file is released after its analysis, and
 * only base and controller files are kept for the next file that names them.
 */
export class FileAnalyser {
  /** The length of each, the most recently used last. */
  readonly #shared = new Map<string, number>();
  #sharedText = 0;

  constructor(readonly project: Project) {}

  /** Like `analyse` with the project. */
  analyse(path: string): Analysis | undefined {
    try {
      const analysis = analyse(this.project, path);
      this.#share(analysis?.files.slice(1) ?? []);
      return analysis;
    } finally {
      this.#forget(path);
    }
  }

  #share(files: readonly SourceFile[]): void {
    for (const { path, text } of files) {
      this.#sharedText += text.length - (this.#shared.get(path) ?? 0);
      this.#shared.delete(path);
      this.#shared.set(path, text.length);
    }
    // The files used last are kept, however long they are: the next file is likely to need them.
    const others = [...this.#shared.keys()].slice(0, this.#shared.size - files.length);
    for (const other of others) if (this.#sharedText > MOST_SHARED_TEXT) this.#forget(other);
  }

  #forget(path: string): void {
    this.#sharedText -= this.#shared.get(path) ?? 0;
    this.#shared.delete(path);
    this.project.forget(path);
  }
}
