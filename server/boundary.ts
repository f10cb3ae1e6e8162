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

  constructor(readonly realPath: (path: string) => string) {}

  /**
   * Why a path is not read for a document, to follow `but`; undefined where it may be. Where no folder is open, a document
   * leads no farther than its own folder, whatever other documents are open.
   */
  refusal(path: string, document: string): string | undefined {
    if (this.readsOutside) return undefined;
    const hasFolders = this.folders.length > 0;
    const folders = hasFolders ? this.folders : [folderOf(document)];
    if (isInside(path, folders, this.realPath)) return undefined;
    return outside(hasFolders ? 'the folders that are open' : 'the folder of this document');
  }
}

const outside = (of: string): string =>
  `it leads out of ${of}, where no file is read unless your setting ` +
  '`enginewright.filesOutsideWorkspace` allows it';

function folderOf(path: string): string {
  return path.slice(0, path.lastIndexOf('/'));
}
