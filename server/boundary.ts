/**
 * Whether a path is in one of the folders, both as written and after following links with `realPath`; all paths are
 * absolute, with `/`. A path that is elsewhere as written is not accessed at all: on some systems accessing a path
 * contacts another computer.
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

/** Which files a configuration may read: it can name any path, but only files in what the user has opened are read. */
export class Boundary {
  /** The folders open in the window. */
  folders: readonly string[] = [];
  /** Whether the user allows files elsewhere. */
  readsOutside = false;

  constructor(readonly realPath: (path: string) => string) {}

  /**
   * Why a path is not read for a document, as a clause after `but`; undefined if it may be. Without an open folder, a
   * document can read only files in its own folder, whatever other documents are open.
   */
  refusal(path: string, document: string): string | undefined {
    if (this.readsOutside) return undefined;
    const hasFolders = this.folders.length > 0;
    const folders = hasFolders ? this.folders : [folderOf(document)];
    if (isInside(path, folders, this.realPath)) return undefined;
    return outside(hasFolders ? 'the open folders' : 'the folder of this document');
  }
}

const outside = (of: string): string =>
  `it is outside ${of}, and your setting \`enginewright.filesOutsideWorkspace\` does not allow that`;

function folderOf(path: string): string {
  return path.slice(0, path.lastIndexOf('/'));
}
