import { type Analysis, analyse } from '../shared/analysis.ts';
import { filesOfInstallation } from '../shared/configuration/installation.ts';
import { Dependencies } from './dependencies.ts';
import { Recent } from './recent.ts';
import type { Texts } from './texts.ts';

/** What is remembered of a file, also when its analysis has been let go of. */
interface State {
  /** Another one after each change of the file or of anything that it reads. */
  version: number;
  /** The versions in which it is known what it reads, and in which it was analysed. */
  readIn?: number;
  analysedIn?: number;
}

interface Kept {
  readonly analysis: Analysis;
  readonly version: number;
}

/** An analysis takes some ninety times the memory of its text: kept are those of so many UTF-16 units of text. */
const MOST_ANALYSED = 2_000_000;
/** What even the analysis of an empty text weighs, in the same units. */
const LEAST_WEIGHT = 5_000;

/**
 * What is known about files by their paths. Analyses are kept of the open documents that were asked about last, and of
 * the last other file; any other is made again, and says the same.
 */
export class Analyses {
  readonly #states = new Map<string, State>();
  readonly #dependencies = new Dependencies();
  /** Also those that are out of date: an edit leaves most of what is known as it was. */
  readonly #kept: Recent<Kept>;
  #lastAsked: Analysis | undefined;
  #lastVersion = 0;

  constructor(
    readonly texts: Texts,
    mostAnalysed = MOST_ANALYSED,
  ) {
    this.#kept = new Recent(mostAnalysed);
  }

  of(path: string): Analysis | undefined {
    const kept = this.#kept.get(path);
    const isCurrent = kept !== undefined && kept.version === this.#states.get(path)?.version;
    const analysis = isCurrent ? kept.analysis : this.#analysed(path, kept?.analysis);
    if (!analysis) this.forget(path);
    else if (analysis !== this.#lastAsked) {
      const before = this.#lastAsked?.file.path;
      if (before !== undefined && before !== path && !this.texts.isOpen(before)) this.#kept.delete(before);
      this.#lastAsked = analysis;
    }
    this.#letGo();
    return analysis;
  }

  /** Another number whenever something else may follow from a file; undefined where it was not analysed since. */
  versionOf(path: string): number | undefined {
    const state = this.#states.get(path);
    return state && state.analysedIn === state.version ? state.version : undefined;
  }

  /** Increases whenever anything changes or is found out. */
  get lastVersion(): number {
    return this.#lastVersion;
  }

  /** The files that are known to read a path, or to look for it. */
  readersOf(path: string): ReadonlySet<string> {
    return this.#dependencies.readersOf(path);
  }

  /** Finds out what an engine reads where that is not known, which takes less than an analysis. */
  findReads(path: string): void {
    const state = this.#states.get(path);
    if (state && state.readIn === state.version) return;
    const reads = new Set<string>();
    const project = this.texts.noting(reads);
    const file = project.source(path);
    if (file) {
      filesOfInstallation(project, file);
      this.#remember(path, reads);
    } else this.forget(path);
    this.#letGo();
  }

  /** A file has changed: gives it and all that read it. */
  changed(path: string): string[] {
    const changed = [...new Set([path, ...this.readersOf(path)])];
    for (const one of changed) this.#outdate(this.#states.get(one));
    return changed;
  }

  /** Anything may have changed. Of files that are not open nothing is known any more. */
  allChanged(): void {
    for (const [path, state] of this.#states) {
      if (this.texts.isOpen(path)) this.#outdate(state);
      else this.forget(path);
    }
  }

  /** Nothing is known any more of a file. */
  forget(path: string): void {
    this.#states.delete(path);
    this.#kept.delete(path);
    const unread = this.#dependencies.delete(path);
    for (const one of unread) this.texts.forget(one);
    if (this.readersOf(path).size === 0) this.texts.forget(path);
    if (this.#lastAsked?.file.path === path) this.#lastAsked = undefined;
  }

  #analysed(path: string, earlier: Analysis | undefined): Analysis | undefined {
    const reads = new Set<string>();
    const analysis = analyse(this.texts.noting(reads), path, earlier);
    if (!analysis) return undefined;
    const state = this.#remember(path, reads);
    state.analysedIn = state.version;
    const weight = LEAST_WEIGHT + analysis.file.chunks.length;
    this.#kept.set(path, { analysis, version: state.version }, weight);
    return analysis;
  }

  #remember(path: string, reads: ReadonlySet<string>): State {
    const state = this.#states.get(path) ?? { version: ++this.#lastVersion };
    this.#states.set(path, state);
    state.readIn = state.version;
    for (const unread of this.#dependencies.set(path, reads)) this.texts.forget(unread);
    return state;
  }

  #outdate(state: State | undefined): void {
    if (state) state.version = ++this.#lastVersion;
  }

  /** What was asked about last stays whole: a question may be at work on it. */
  #letGo(): void {
    this.texts.use(this.#lastAsked?.files ?? []);
    // An analysis is kept no longer than the trees that it is about, so that all that is kept is about the same trees.
    for (const path of this.texts.trim()) {
      for (const reader of this.readersOf(path)) this.#kept.delete(reader);
    }
    this.#kept.trim();
  }
}
