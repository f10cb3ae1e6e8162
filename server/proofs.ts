import { type Analysis, isSearched, searched } from '../shared/analysis.ts';
import type { EngineSubject } from '../shared/checks/check.ts';
import { fullProofOf, type LimitedBound, limitedBoundsInSteps } from '../shared/limits/verdict.ts';
import type { Pause } from '../shared/proof/search.ts';
import type { Proved } from './bound-words.ts';
import { inSlices, unhold } from './turns.ts';

/** The documents and their analyses. */
interface Documents {
  analysis(uri: string): Analysis | undefined;
  analysisOf(path: string): Analysis | undefined;
  versionOf(path: string): number | undefined;
  isComplete(path: string): boolean;
  complete(analysis: Analysis): void;
}

/** How long (ms) after the last edit the search for bounds starts. */
const IDLE = 300;

/** The documents whose bounds are kept; keeping the bounds of a document also keeps its analysis. */
const MOST_FOUND = 8;

/**
 * Searches bounds while nobody types: first those that checks need, then, for documents whose bounds have been
 * requested, all others that have a limit. The search runs in short slices, and the next edit stops it.
 */
export class Proofs {
  readonly #documents: Documents;
  readonly #waiting = new Set<string>();
  readonly #wanted = new Set<string>();
  readonly #found = new Map<string, { readonly of: Analysis; readonly bounds: readonly LimitedBound[] }>();
  #timer: ReturnType<typeof setTimeout> | undefined;
  /** Called when findings or bounds of a document have been completed. */
  onCompleted: (uri: string) => void = () => {};
  /** Called with internal errors. */
  onFault: (fault: unknown) => void = () => {};

  constructor(documents: Documents) {
    this.#documents = documents;
  }

  /** To be called when results of open documents may have changed. */
  changed(uris: readonly string[]): void {
    for (const uri of uris) this.#waiting.add(uri);
    if (uris.length > 0) this.#start(IDLE);
  }

  /** To be called when a document is closed. */
  closed(uri: string): void {
    for (const uris of [this.#waiting, this.#wanted, this.#found]) uris.delete(uri);
  }

  /** Stops. */
  stop(): void {
    clearTimeout(this.#timer);
    this.#waiting.clear();
  }

  /** The bounds of a document that have a limit. Undefined until they are known for the first time. */
  of(uri: string): Proved | undefined {
    const analysis = this.#documents.analysis(uri);
    if (!analysis?.derivation) return undefined;
    const found = this.#found.get(uri);
    const isCurrent = found?.of.subject === analysis.subject;
    this.#wanted.add(uri);
    // An analysis that was evicted is made again without an edit.
    if (!isCurrent && !this.#waiting.has(uri)) this.changed([uri]);
    if (!found) return undefined;
    return { bounds: isCurrent ? found.bounds : found.bounds.map(unplaced), isCurrent };
  }

  /** Completes the findings of a file now. Returns whether they are those of the current text. */
  async complete(path: string, isStopped = () => false): Promise<boolean> {
    const analysis = this.#documents.analysisOf(path);
    if (!analysis || isSearched(analysis)) return true;
    const isCurrent = this.#untilChanged(path, isStopped);
    const complete = await inSlices(searched(analysis), isCurrent);
    if (complete && isCurrent()) this.#documents.complete(complete);
    return this.#documents.isComplete(path);
  }

  /**
   * Completes findings and bounds of an open document now, and calls `onCompleted`. Returns whether they are those of
   * the current text.
   */
  async settle(uri: string, isStopped = () => false): Promise<boolean> {
    this.#wanted.add(uri);
    if (!(await this.completeFindings(uri, isStopped)) || !(await this.#findBounds(uri, isStopped)))
      return false;
    // An edit between the two searches leaves the findings of the new text incomplete.
    const path = this.#documents.analysis(uri)?.file.path;
    return path === undefined || this.#documents.isComplete(path);
  }

  /** Completes the findings of an open document now, and calls `onCompleted`. Returns whether they are those of the current text. */
  async completeFindings(uri: string, isStopped: () => boolean): Promise<boolean> {
    const analysis = this.#documents.analysis(uri);
    if (!analysis || isSearched(analysis)) return true;
    const isComplete = await this.complete(analysis.file.path, isStopped);
    if (isComplete) this.onCompleted(uri);
    return isComplete;
  }

  #start(delay: number): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => {
      this.#run().catch((fault) => this.onFault(fault));
    }, delay);
    unhold(this.#timer);
  }

  async #run(): Promise<void> {
    const timer = this.#timer;
    const isStopped = () => this.#timer !== timer;
    for (const uri of this.#waiting) {
      await this.completeFindings(uri, isStopped);
      if (isStopped()) return;
    }
    for (const uri of this.#waiting) {
      await this.#findBounds(uri, isStopped);
      if (isStopped()) return;
    }
    this.#waiting.clear();
  }

  /** Finds the bounds of a document if something wants them. Returns false if the text changes before they are found. */
  async #findBounds(uri: string, isStopped: () => boolean): Promise<boolean> {
    const analysis = this.#documents.analysis(uri);
    const isKnown = this.#found.get(uri)?.of.subject === analysis?.subject;
    if (!this.#wanted.has(uri) || !analysis?.derivation || isKnown) return true;
    const isCurrent = this.#untilChanged(analysis.file.path, isStopped);
    const bounds = await inSlices(boundsOf(analysis.subject as EngineSubject), isCurrent);
    if (!bounds) return false;
    this.#found.delete(uri);
    this.#found.set(uri, { of: analysis, bounds });
    for (const oldest of this.#found.keys()) if (this.#found.size > MOST_FOUND) this.#found.delete(oldest);
    this.onCompleted(uri);
    return true;
  }

  /**
   * Whether a file is still in the version that it has now and the search is not stopped. The analysis itself may be
   * evicted during the search.
   */
  #untilChanged(path: string, isStopped: () => boolean): () => boolean {
    const version = this.#documents.versionOf(path);
    return () => !isStopped() && this.#documents.versionOf(path) === version;
  }
}

/** The places of an earlier text are not those of the current one. */
const unplaced = (bound: LimitedBound): LimitedBound => ({
  ...bound,
  limit: { ...bound.limit, node: undefined },
});

function* boundsOf(subject: EngineSubject): Generator<Pause, readonly LimitedBound[]> {
  const bounds: LimitedBound[] = [];
  for (const bound of limitedBoundsInSteps(fullProofOf(subject), subject)) {
    if (bound) bounds.push(bound);
    else yield;
  }
  return bounds;
}
