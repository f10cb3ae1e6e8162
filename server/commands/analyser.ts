import { type Analysis, analyse } from '../../shared/analysis.ts';
import type { Project } from '../../shared/configuration/project.ts';
import type { SourceFile } from '../../shared/source/source-file.ts';

/** UTF-16 units of bases and controllers that stay read; a tree takes some fifty times as much memory. */
const MOST_SHARED_TEXT = 1_500_000;

/**
 * Analyses the files of a project one after the other, as many as there may be: the tree of a file is let go once it was
 * analysed, and only bases and controllers stay read for the next file that names them too.
 */
export class FileAnalyser {
  /** The length of each; the one that was needed last comes last. */
  readonly #shared = new Map<string, number>();
  #sharedText = 0;

  constructor(readonly project: Project) {}

  /** As `analyse` of the project. */
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
    // However long they are, those that were needed last are the likeliest to be needed next.
    const others = [...this.#shared.keys()].slice(0, this.#shared.size - files.length);
    for (const other of others) if (this.#sharedText > MOST_SHARED_TEXT) this.#forget(other);
  }

  #forget(path: string): void {
    this.#sharedText -= this.#shared.get(path) ?? 0;
    this.#shared.delete(path);
    this.project.forget(path);
  }
}
