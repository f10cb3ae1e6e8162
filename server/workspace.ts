import type { Analysis } from '../shared/analysis.ts';
import type { Finding } from '../shared/checks/finding.ts';
import { filesOfInstallation } from '../shared/configuration/installation.ts';
import type { InstallationFiles } from '../shared/configuration/mentions.ts';
import { fileKind } from '../shared/configuration/project.ts';
import type { Rewriting, SourceFile } from '../shared/source/source-file.ts';
import { Analyses } from './analyses.ts';
import { Boundary } from './boundary.ts';
import { FolderList } from './folder-list.ts';
import { Proofs } from './proofs.ts';
import { type Disk, Texts } from './texts.ts';
import { pathOfUri, uriOfPath } from './uri.ts';

/** A document that is open in the editor. */
export interface OpenDocument {
  readonly uri: string;
}

/**
 * The documents open in the editor and their analyses. Unsaved texts take precedence over those on disk, also for files
 * that use them.
 */
export class Workspace {
  readonly #boundary: Boundary;
  readonly #texts: Texts;
  readonly #analyses: Analyses;
  readonly #list: FolderList;
  readonly #open = new Map<string, OpenDocument>();
  /** The bounds of the open documents. */
  readonly proofs = new Proofs(this);
  /** Open documents whose file has been deleted. */
  readonly #gone = new Set<string>();
  /** Undefined after a document has been opened or closed. */
  #paths: ReadonlySet<string> | undefined;
  #listed: readonly string[] = [];
  /** The value of `lastVersion` for which the reads of all engines are known. */
  #readsKnownAt: number | undefined;

  /** `limits` are the sizes of the caches of trees and analyses, in UTF-16 units of text. */
  constructor(disk: Disk, limits: { readonly parsed?: number; readonly analysed?: number } = {}) {
    this.#boundary = new Boundary((path) => disk.realPath?.(path) ?? path);
    this.#texts = new Texts(disk, this.#boundary, limits.parsed);
    this.#analyses = new Analyses(this.#texts, limits.analysed);
    this.#list = new FolderList((folder) => disk.list?.(folder) ?? []);
  }

  /** Sets the folders that files are read from; without any, a document can use only files in its own folder. */
  setFolders(uris: readonly string[]): string[] {
    this.#boundary.folders = uris.map((uri) => pathOfUri(uri).replace(/\/$/, ''));
    this.#list.folders = this.#boundary.folders;
    return this.#lookAgain();
  }

  /** Sets whether the user allows files elsewhere. */
  setReadsOutside(allowed: boolean): string[] {
    if (allowed === this.#boundary.readsOutside) return [];
    this.#boundary.readsOutside = allowed;
    return this.#lookAgain();
  }

  /**
   * Applies changes to a document in order; for a document that was not open, the first change is the whole text. Returns the
   * URIs of the open documents whose results may have changed.
   */
  rewrite(uri: string, changes: readonly Rewriting[]): string[] {
    const path = pathOfUri(uri);
    if (!fileKind(path)) return [];
    if (!this.#open.has(path)) this.#paths = undefined;
    if (this.#open.get(path)?.uri !== uri) this.#open.set(path, { uri });
    this.#texts.rewrite(path, changes);
    return this.#changed(path);
  }

  /** From now on the document is read from disk. */
  close(uri: string): string[] {
    const path = pathOfUri(uri);
    if (!this.#open.delete(path)) return [];
    this.#gone.delete(path);
    this.#paths = undefined;
    this.#list.forget();
    this.#texts.close(path);
    return this.#changed(path);
  }

  /** To be called when a file on disk was created, changed or deleted. An open document keeps the text of the editor. */
  touched(uri: string, isGone = false): string[] {
    const path = pathOfUri(uri);
    this.#list.forget();
    if (!this.#open.has(path)) return this.#changedOnDisk(path);
    if (isGone) this.#gone.add(path);
    else this.#gone.delete(path);
    return [];
  }

  /** Finds files that have changed on disk without a notification. */
  pollDisk(): string[] {
    const changed = this.#texts.changedOnDisk();
    if (changed.length > 0) this.#list.forget();
    return [...new Set(changed.flatMap((path) => this.#changedOnDisk(path)))];
  }

  /** The analysis of an open document; undefined for other files and other file types. */
  analysis(uri: string): Analysis | undefined {
    const path = pathOfUri(uri);
    return this.#open.has(path) ? this.analysisOf(path) : undefined;
  }

  /** The analysis of any file of the workspace. */
  analysisOf(path: string): Analysis | undefined {
    return this.#analyses.of(path);
  }

  /** The findings of an analysis and, of checks that have not run yet, the outdated ones. */
  findingsOf(analysis: Analysis): readonly Finding[] {
    return this.#analyses.findingsOf(analysis);
  }

  /** Keeps the analysis of a file in which all checks have run. */
  complete(analysis: Analysis): void {
    this.#analyses.complete(analysis);
  }

  /** Whether all checks have run for a file and it has not changed since. */
  isComplete(path: string): boolean {
    return this.#analyses.isComplete(path);
  }

  /** Whether a file has been analysed and has not changed since. */
  isKnown(path: string): boolean {
    return this.versionOf(path) !== undefined;
  }

  /** A number that differs whenever another analysis may follow; undefined if the file has changed since its last one. */
  versionOf(path: string): number | undefined {
    return this.#analyses.versionOf(path);
  }

  /** Whether the file of an open document has been deleted. */
  isGone(path: string): boolean {
    return this.#gone.has(path);
  }

  /** The paths of all engine and controller files in the folders and in the editor; open ones first. */
  paths(): string[] {
    return [...this.#allPaths()];
  }

  /** A file from the editor or from disk, if the document may use it. */
  file(path: string, document = path): SourceFile | undefined {
    return this.#texts.projectOf(document).source(path);
  }

  /**
   * The engines of the workspace that read a file: it is the engine itself, a base file or the controller file. Sorted by path, so
   * that the result does not depend on which was opened first.
   */
  enginesWith(path: string): string[] {
    const paths = this.#allPaths();
    const isEngine = (one: string) => fileKind(one) === 'engine' && paths.has(one);
    if (this.#readsKnownAt !== this.#analyses.lastVersion) {
      for (const one of paths) if (isEngine(one)) this.#analyses.findReads(one);
      this.#readsKnownAt = this.#analyses.lastVersion;
    }
    return [...this.#analyses.readersOf(path)].filter(isEngine).sort();
  }

  /** The files of an engine: itself, its base files and its controller file. */
  installation(engine: string): InstallationFiles {
    const file = this.file(engine);
    return file ? filesOfInstallation(this.#texts.projectOf(engine), file) : [];
  }

  /** The open document with a path. */
  openDocument(path: string): OpenDocument | undefined {
    return this.#open.get(path);
  }

  /** The URI that the editor uses for a path. */
  uriOf(path: string): string {
    return this.#open.get(path)?.uri ?? uriOfPath(path);
  }

  #allPaths(): ReadonlySet<string> {
    const listed = this.#list.paths();
    if (!this.#paths || listed !== this.#listed) {
      this.#paths = new Set([...this.#open.keys(), ...listed]);
      this.#listed = listed;
      this.#readsKnownAt = undefined;
    }
    return this.#paths;
  }

  #changedOnDisk(path: string): string[] {
    this.#texts.reread(path);
    return this.#changed(path);
  }

  #changed(path: string): string[] {
    const changed = this.#analyses.changed(path);
    if (!this.#open.has(path)) this.#analyses.forget(path);
    this.#readsKnownAt = undefined;
    return changed.flatMap((one) => this.#open.get(one)?.uri ?? []);
  }

  #lookAgain(): string[] {
    this.#texts.forgetDisk();
    this.#analyses.allChanged();
    this.#readsKnownAt = undefined;
    return [...this.#open.values()].map(({ uri }) => uri);
  }
}
