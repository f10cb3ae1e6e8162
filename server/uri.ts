/** The server also runs in browsers, where there is no process. */
const isWindows = (globalThis as { process?: { readonly platform?: string } }).process?.platform === 'win32';

/**
 * The path of a document in the project. For a document that is not on disk, and for an invalid URI, it is the URI itself, so
 * that each document has a name.
 */
export function pathOfUri(uri: string): string {
  try {
    return uri.startsWith('file:') ? pathOfFile(new URL(uri)) : decodeURI(uri);
  } catch {
    return uri;
  }
}

/** The URI of a path. */
export function uriOfPath(path: string): string {
  if (isAddress(path)) return encodeURI(path);
  // The URL class escapes everything else that must be escaped; it drops blanks and control characters at the end.
  const escaped = path.replaceAll(/[%\\?#\p{Cc} ]/gu, encodeURIComponent);
  if (isWindows && escaped.startsWith('//')) return new URL(`file:${escaped}`).href;
  return new URL(`file://${escaped.startsWith('/') ? '' : '/'}${escaped}`).href;
}

/** Whether a path is the URI of a document that is not on disk. Others begin with a slash, or with a drive of one letter. */
export function isAddress(path: string): boolean {
  return /^[A-Za-z][\w+.-]+:/.test(path);
}

/** Throws if no path belongs to the URI. */
function pathOfFile({ hostname, pathname }: URL): string {
  if (/%2f/i.test(pathname)) throw new Error('A name contains a slash.');
  const path = decodeURIComponent(pathname);
  if (!isWindows) {
    if (hostname !== '') throw new Error('The file is on another computer.');
    return path;
  }
  const withoutRoot = path.replace(/^\/(?=[A-Za-z]:)/, '').replaceAll('\\', '/');
  return hostname === '' ? withoutRoot : `//${hostname}${withoutRoot}`;
}
