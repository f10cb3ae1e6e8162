/**
 * Whether a path lies in one of the folders, as it is written and where it leads; all absolute and with `/`. `realPath`
 * follows the links. A path that lies elsewhere as it is written is not even looked at: on some systems to look at a path
 * is to call at another computer.
 */
export function isInside(
  path: string,
  folders: readonly string[],
  realPath: (path: string) => string,
): boolean {
  const written = folders.filter((folder) => isBelow(path, folder));
  if (written.length === 0) return false;
  const real = realPath(path);
  const leadsTo = (folder: string) => isBelow(real, realPath(folder));
  return written.some(leadsTo) || folders.some(leadsTo);
}

function isBelow(path: string, folder: string): boolean {
  return path.startsWith(folder.endsWith('/') ? folder : `${folder}/`);
}

/** What a configuration may lead to: it may name any path, and only what the user has opened is looked into. */
export class Boundary {
  /** The folders that are open in the window. */
  folders: readonly string[] = [];
  /** Whether the user lets a configuration lead to files elsewhere. */
  readsOutside = false;
  /** The folders of open documents, each with how many are in it. */
  readonly #ofDocuments = new Map<string, number>();

  constructor(readonly realPath: (path: string) => string) {}

  opened(path: string): void {
    const folder = folderOf(path);
    this.#ofDocuments.set(folder, (this.#ofDocuments.get(folder) ?? 0) + 1);
  }

  closed(path: string): void {
    const folder = folderOf(path);
    const rest = this.#ofDocuments.get(folder)! - 1;
    if (rest > 0) this.#ofDocuments.set(folder, rest);
    else this.#ofDocuments.delete(folder);
  }

  /** Why a path is not read, to follow `but`; undefined where it may be. */
  refusal(path: string): string | undefined {
    if (this.readsOutside) return undefined;
    const folders = this.folders.length > 0 ? this.folders : [...this.#ofDocuments.keys()];
    return isInside(path, folders, this.realPath) ? undefined : OUTSIDE;
  }
}

const OUTSIDE =
  'it leads out of the folders that are open, where no file is read unless your setting ' +
  '`enginewright.filesOutsideWorkspace` allows it';

function folderOf(path: string): string {
  return path.slice(0, path.lastIndexOf('/'));
}
