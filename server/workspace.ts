import { type Analysis, analyse } from '../shared/analysis.ts';
import { filesOfInstallation } from '../shared/configuration/installation.ts';
import { createProject, fileKind, type Project } from '../shared/configuration/project.ts';
import type { Rewriting, SourceFile } from '../shared/source/source-file.ts';
import { isInside } from './boundary.ts';
import { pathOfUri, uriOfPath } from './uri.ts';

interface Known {
  readonly analysis: Analysis;
  /** Every path that the analysis read or looked for. */
  readonly reads: ReadonlySet<string>;
}

/**
 * The documents that are open in the editor, and what is known about each. Their unsaved texts stand before those on
 * disk, for themselves and for whatever is based on them.
 */
export class Workspace {
  readonly #project: Project;
  readonly #open = new Map<string, string>();
  /** Documents that are open and whose file has been deleted. */
  readonly #gone = new Set<string>();
  readonly #known = new Map<string, Known>();
  /** What was last known of the open documents: an edit leaves most of it as it was. */
  readonly #earlier = new Map<string, Analysis>();
  #folders: readonly string[] = [];
  #listed: readonly string[] | undefined;
  #readsOutside = false;

  /**
   * `read` gives the text of a file on disk; it is asked only for files that may be read. `list` gives the paths of
   * the engine and controller files below a folder, `realPath` where a path leads when links are followed.
   */
  constructor(
    read: (path: string) => string | undefined,
    readonly list: (folder: string) => readonly string[] = () => [],
    readonly realPath: (path: string) => string = (path) => path,
  ) {
    this.#project = createProject(read, (path) => this.#refusal(path));
  }

  /** Only these folders are read; without any, the folders of the open documents. */
  setFolders(uris: readonly string[]): string[] {
    this.#folders = uris.map((uri) => pathOfUri(uri).replace(/\/$/, ''));
    this.#listed = undefined;
    return this.#lookAgain();
  }

  /** Whether the user lets a configuration lead to files elsewhere. */
  setReadsOutside(allowed: boolean): string[] {
    if (allowed === this.#readsOutside) return [];
    this.#readsOutside = allowed;
    return this.#lookAgain();
  }

  /**
   * Takes what was written into a document, one after the other; of one that was not open the whole text comes first.
   * Gives the addresses of the open documents that must be looked at again.
   */
  rewrite(uri: string, changes: readonly Rewriting[]): string[] {
    const path = pathOfUri(uri);
    if (!fileKind(path)) return [];
    this.#open.set(path, uri);
    this.#project.rewrite(path, changes);
    return this.#changed(path);
  }

  /** From now on the document is what stands on disk. */
  close(uri: string): string[] {
    const path = pathOfUri(uri);
    this.#open.delete(path);
    this.#earlier.delete(path);
    this.#gone.delete(path);
    this.#listed = undefined;
    this.#project.forget(path);
    return this.#changed(path);
  }

  /** A file on disk has come, changed or gone. An open document keeps the text of the editor. */
  touched(uri: string, isGone = false): string[] {
    const path = pathOfUri(uri);
    this.#listed = undefined;
    if (this.#open.has(path)) {
      if (isGone) this.#gone.add(path);
      else this.#gone.delete(path);
      return [];
    }
    this.#project.forget(path);
    return this.#changed(path);
  }

  /** What is known about an open document; undefined for others, and for files that are none of ours. */
  analysis(uri: string): Analysis | undefined {
    const path = pathOfUri(uri);
    return this.#open.has(path) ? this.analysisOf(path) : undefined;
  }

  /** What is known about any file of the workspace. */
  analysisOf(path: string): Analysis | undefined {
    const known = this.#known.get(path)?.analysis;
    if (known) return known;
    const analysis = analyse(this.#project, path, this.#earlier.get(path));
    if (analysis) this.#known.set(path, { analysis, reads: pathsRead(analysis) });
    if (analysis && this.#open.has(path)) this.#earlier.set(path, analysis);
    return analysis;
  }

  /** Whether a file has been analysed and has not changed since. */
  isKnown(path: string): boolean {
    return this.#known.has(path);
  }

  /** Whether the file of an open document has been deleted, so that the document is all that is left of it. */
  isGone(path: string): boolean {
    return this.#gone.has(path);
  }

  /** Every engine and controller file in the folders and in the editor, by its path. */
  paths(): string[] {
    this.#listed ??= this.#folders.flatMap((folder) => this.list(folder));
    return [...new Set([...this.#open.keys(), ...this.#listed])];
  }

  /** A file as it stands in the editor or on disk. */
  file(path: string): SourceFile | undefined {
    return this.#project.source(path);
  }

  /** The files of every engine of the workspace: itself, what it is based on, its controller. */
  installations(): SourceFile[][] {
    return this.paths().flatMap((path) => {
      const file = fileKind(path) === 'engine' ? this.file(path) : undefined;
      return file ? [filesOfInstallation(this.#project, file)] : [];
    });
  }

  /** The address by which the editor knows a path. */
  uriOf(path: string): string {
    return this.#open.get(path) ?? uriOfPath(path);
  }

  #changed(path: string): string[] {
    for (const [reader, { reads }] of this.#known) {
      if (reader === path || reads.has(path)) this.#known.delete(reader);
    }
    return [...this.#open].filter(([open]) => !this.#known.has(open)).map(([, uri]) => uri);
  }

  #lookAgain(): string[] {
    for (const { reads } of this.#known.values()) {
      for (const path of reads) if (!this.#open.has(path)) this.#project.forget(path);
    }
    this.#known.clear();
    return [...this.#open.values()];
  }

  /** A configuration may name any path; only what the user has opened is looked into. */
  #refusal(path: string): string | undefined {
    if (this.#readsOutside) return undefined;
    const folders = this.#folders.length > 0 ? this.#folders : [...this.#open.keys()].map(folderOf);
    return isInside(path, folders, this.realPath) ? undefined : OUTSIDE;
  }
}

const OUTSIDE =
  'it leads out of the folders that are open, where no file is read unless your setting ' +
  '`enginewright.filesOutsideWorkspace` allows it';

function pathsRead({ files, subject }: Analysis): Set<string> {
  return new Set([...files.map(({ path }) => path), ...subject.links.flatMap(({ paths }) => paths)]);
}

function folderOf(path: string): string {
  return path.slice(0, path.lastIndexOf('/'));
}
