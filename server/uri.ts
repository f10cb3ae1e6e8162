import { fileURLToPath, pathToFileURL } from 'node:url';

/**
 * The path that the project knows a document by; of a document that is not on disk, its address as it stands. So is an
 * address that is none: whatever an editor sends names a document of its own.
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

/** The address of a path, for an editor. */
export function uriOfPath(path: string): string {
  const isAddress = /^[A-Za-z][\w+.-]+:\/\//.test(path);
  return isAddress ? encodeURI(path) : pathToFileURL(path).href;
}
