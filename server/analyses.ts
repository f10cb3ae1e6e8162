import { type Analysis, analyseBriefly, isSearched, searched } from '../shared/analysis.ts';
import { byPlace, type Finding } from '../shared/checks/finding.ts';
import { type Before, beforeEdit, outdatedFindings } from '../shared/checks/outdated.ts';
import { filesOfInstallation } from '../shared/configuration/installation.ts';
import { finished } from '../shared/proof/search.ts';
import { Dependencies } from './dependencies.ts';
import { LruCache } from './lru-cache.ts';
import type { Texts } from './texts.ts';

/** What is known of a file even after its analysis has been evicted. */
interface State {
  /** Increases with each change of the file or of a file that it reads. */
  version: number;
  /** The version for which its reads are known, and the version analysed last. */
  readIn?: number;
  analysedIn?: number;
  /** The version in which all checks have run. */
  completeIn?: number;
}

interface Kept {
  readonly analysis: Analysis;
  readonly version: number;
  /** What checks that search bounds found in earlier versions. */
  readonly before: Before;
}

/** The limit in UTF-16 units of text. An analysis takes about ninety times the memory of its text. */
const MOST_ANALYSED = 2_000_000;
/** The weight of the analysis of an empty text, in the same units. */
const LEAST_WEIGHT = 5_000;

/**
 * Analyses of files by path. The cache holds those of the open documents used last and, of all other files, the last
 * one. Any other analysis is computed again on request, with the same result.
 */
export class Analyses {
  readonly #states = new Map<string, State>();
  readonly #dependencies = new Dependencies();
  /** Includes outdated analyses: the next one reuses what an edit does not change. */
  readonly #kept: LruCache<Kept>;
  #lastAsked: Analysis | undefined;
  #lastVersion = 0;

  constructor(
    readonly texts: Texts,
    mostAnalysed = MOST_ANALYSED,
  ) {
    this.#kept = new LruCache(mostAnalysed);
  }

  of(path: string): Analysis | undefined {
    const kept = this.#kept.get(path);
    const isCurrent = kept !== undefined && kept.version === this.#states.get(path)?.version;
    const analysis = isCurrent ? kept.analysis : this.#analysed(path, kept);
    if (!analysis) this.forget(path);
    else if (analysis !== this.#lastAsked) {
      const before = this.#lastAsked?.file.path;
      if (before !== undefined && before !== path && !this.texts.isOpen(before)) this.#kept.delete(before);
      this.#lastAsked = analysis;
    }
    this.#evict();
    return analysis;
  }

  /**
   * A number that changes whenever the analysis may change; undefined if the file has changed since it was last
   * analysed.
   */
  versionOf(path: string): number | undefined {
    const state = this.#states.get(path);
    return state && state.analysedIn === state.version ? state.version : undefined;
  }

  /**
   * Replaces the current analysis of a file by the one in which all checks have run, as a new version. If the current
   * one was evicted meanwhile, the new one is not kept either.
   */
  complete(analysis: Analysis): void {
    const { path } = analysis.file;
    const state = this.#states.get(path);
    if (!state) return;
    const kept = this.#kept.get(path);
    const isKept = kept?.version === state.version;
    const version = ++this.#lastVersion;
    Object.assign(state, { version, readIn: version, analysedIn: version, completeIn: version });
    if (!isKept) return;
    if (this.#lastAsked === kept.analysis) this.#lastAsked = analysis;
    this.#keep({ analysis, version, before: beforeEdit(analysis.asked) });
  }

  /** Whether all checks have run for a file and it has not changed since. */
  isComplete(path: string): boolean {
    const state = this.#states.get(path);
    return state !== undefined && state.completeIn === state.version;
  }

  /** The findings of an analysis and, of checks that have not run yet, the outdated ones. */
  findingsOf({ file, files, asked, findings }: Analysis): readonly Finding[] {
    const before = this.#kept.get(file.path)?.before;
    const outdated = before ? outdatedFindings(asked, files, before) : [];
    return outdated.length > 0 ? [...findings, ...outdated].sort(byPlace) : findings;
  }

  /** Increases with each change of any file. */
  get lastVersion(): number {
    return this.#lastVersion;
  }

  /** The files whose analysis reads a path or looks for it. */
  readersOf(path: string): ReadonlySet<string> {
    return this.#dependencies.readersOf(path);
  }

  /** Finds which files an engine reads, unless that is known. Cheaper than an analysis. */
  findReads(path: string): void {
    const state = this.#states.get(path);
    if (state && state.readIn === state.version) return;
    const reads = new Set<string>();
    const project = this.texts.projectOf(path, reads);
    const file = project.source(path);
    if (file) {
      filesOfInstallation(project, file);
      this.#remember(path, reads);
    } else this.forget(path);
    this.#evict();
  }

  /** Must be called after a file has changed. Returns it and all files that read it. */
  changed(path: string): string[] {
    const changed = [...new Set([path, ...this.readersOf(path)])];
    for (const one of changed) this.#outdate(this.#states.get(one));
    return changed;
  }

  /** Must be called when any file may have changed. */
  allChanged(): void {
    for (const [path, state] of this.#states) {
      if (this.texts.isOpen(path)) this.#outdate(state);
      else this.forget(path);
    }
  }

  /** Drops everything known about a file. */
  forget(path: string): void {
    this.#states.delete(path);
    this.#kept.delete(path);
    const unread = this.#dependencies.delete(path);
    for (const one of unread) this.texts.forget(one);
    if (this.readersOf(path).size === 0) this.texts.forget(path);
    if (this.#lastAsked?.file.path === path) this.#lastAsked = undefined;
  }

  #analysed(path: string, earlier: Kept | undefined): Analysis | undefined {
    const reads = new Set<string>();
    const brief = analyseBriefly(this.texts.projectOf(path, reads), path, earlier?.analysis);
    if (!brief) return undefined;
    const state = this.#remember(path, reads);
    // The same version must not lose findings because its analysis was evicted.
    const analysis = state.completeIn === state.version ? finished(searched(brief)) : brief;
    state.analysedIn = state.version;
    if (isSearched(analysis)) state.completeIn = state.version;
    const { version } = state;
    this.#keep({ analysis, version, before: beforeEdit(analysis.asked, earlier?.before) });
    return analysis;
  }

  #keep(kept: Kept): void {
    const { file } = kept.analysis;
    this.#kept.set(file.path, kept, LEAST_WEIGHT + file.chunks.length);
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

  /** Keeps the analysis used last and its trees: a request may be using them. */
  #evict(): void {
    this.texts.use(this.#lastAsked?.files ?? []);
    // An analysis is evicted with its trees, so that all cached analyses refer to the same trees.
    for (const path of this.texts.evict()) {
      for (const reader of this.readersOf(path)) this.#kept.delete(reader);
    }
    this.#kept.evict();
  }
}
