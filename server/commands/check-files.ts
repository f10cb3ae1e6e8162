import type { Analysis } from '../../shared/analysis.ts';
import { diskProject } from '../files.ts';
import { FileAnalyser } from './analyser.ts';
import { faultSentence } from './command.ts';

/** What was found in a file, as plain data that one thread can hand to another. */
export interface Checked extends Pick<Analysis, 'findings' | 'accepted'> {
  /** Every file that was read for it, its own first. */
  readonly files: readonly { readonly path: string; readonly text: string }[];
}

/** Checks one file after the other of those that a command names. */
export class FileChecker {
  readonly #analyser: FileAnalyser;

  constructor(names: readonly string[]) {
    this.#analyser = new FileAnalyser(diskProject(names));
  }

  /** What was found, or why there is nothing: a fault of the program in one file does not keep the others back. */
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
    return `${this.#analyser.project.refusal(path) ?? 'it was there a moment ago and cannot be read any more'}.`;
  }
}
