import { fileURLToPath, pathToFileURL } from 'node:url';

/**
 * The path of a document in the project. For a document that is not on disk, and for an invalid URI, it is the URI itself, so
 * that each document has a name.
 */
export function pathOfUri(uri: string): string {
  try {
    if (!uri.startsWith('file:')) return decodeURI(uri);
    const path = fileURLToPath(uri);
    return process.platform === 'win32' ? path.replaceAll('\\', '/') : path;
  } catch {
    return uri;
  }
}

/** The URI of a path. */
export function uriOfPath(path: string): string {
  const isAddress = /^[A-Za-z][\w+.-]+:\/\//.test(path);
  return isAddress ? encodeURI(path) : pathToFileURL(path).href;
}
