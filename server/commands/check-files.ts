import type { Analysis } from '../../shared/analysis.ts';
import { diskProject } from '../files.ts';
import { FileAnalyser } from './analyser.ts';
import { faultSentence } from './command.ts';

/** The findings of a file, as plain data that can be passed between threads. */
export interface Checked extends Pick<Analysis, 'findings' | 'accepted'> {
  /** Every file that was read for it, the file itself first. */
  readonly files: readonly { readonly path: string; readonly text: string }[];
}

/** Checks the files that a command names, one after the other. */
export class FileChecker {
  readonly #analyser: FileAnalyser;

  constructor(names: readonly string[]) {
    this.#analyser = new FileAnalyser(diskProject(names));
  }

  /** The findings, or why there are none: an internal error in one file does not stop the others. */
  check(path: string): Checked | string {
    try {
      const analysis = this.#analyser.analyse(path);
      if (!analysis) return this.#reasonForNothing(path);
      const { findings, accepted } = analysis;
      const files = analysis.files.map((one) => ({ path: one.path, text: one.text }));
      return { findings, accepted, files };
    } catch (error) {
      return faultSentence(error);
    }
  }

  #reasonForNothing(path: string): string {
    return `${this.#analyser.project.refusal(path) ?? 'it can no longer be read'}.`;
  }
}
