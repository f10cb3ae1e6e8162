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
  return isBelow(path, folders) && isBelow(realPath(path), folders.map(realPath));
}

function isBelow(path: string, folders: readonly string[]): boolean {
  return folders.some((folder) => path.startsWith(folder.endsWith('/') ? folder : `${folder}/`));
}
