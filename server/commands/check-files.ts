import { type Analysis, analyse } from '../../shared/analysis.ts';
import type { Project } from '../../shared/configuration/project.ts';
import { diskProject } from '../files.ts';
import { faultSentence } from './command.ts';

/** What was found in a file, as plain data that one thread can hand to another. */
export interface Checked extends Pick<Analysis, 'findings' | 'accepted'> {
  /** Every file that was read for it, its own first. */
  readonly files: readonly { readonly path: string; readonly text: string }[];
}

/** Bases and controllers that stay read, for the next file that names them too. */
const SHARED_FILES = 16;

/** Checks one file after the other of those that a command names. */
export class FileChecker {
  readonly #project: Project;
  /** The one that was needed last comes last. */
  readonly #shared = new Set<string>();

  constructor(names: readonly string[]) {
    this.#project = diskProject(names);
  }

  /** What was found, or why there is nothing: a fault of the program in one file does not keep the others back. */
  check(path: string): Checked | string {
    try {
      const analysis = analyse(this.#project, path);
      if (!analysis) return this.#reasonForNothing(path);
      const { findings, accepted } = analysis;
      const files = analysis.files.map((one) => ({ path: one.path, text: one.text }));
      for (const file of files) this.#share(file.path);
      return { findings, accepted, files };
    } catch (error) {
      return faultSentence(error);
    } finally {
      this.#forget(path);
    }
  }

  #reasonForNothing(path: string): string {
    return `${this.#project.refusal(path) ?? 'it was there a moment ago and cannot be read any more'}.`;
  }

  #share(path: string) {
    this.#shared.delete(path);
    this.#shared.add(path);
    const [oldest] = this.#shared;
    if (this.#shared.size > SHARED_FILES) this.#forget(oldest!);
  }

  /** A thousand trees, and all that was derived from them, would fill the memory. */
  #forget(path: string) {
    this.#shared.delete(path);
    this.#project.forget(path);
  }
}
