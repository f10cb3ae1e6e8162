import { pathToFileURL } from 'node:url';
import { readablePath } from '../files.ts';
import type { LocatedPlace } from './check-report.ts';

/** The name by which SARIF calls the folder that relative addresses start from. */
export const ROOT = '%SRCROOT%';

/** A file's address: relative to the folder that the command runs in where it lies below, so that machines agree. */
export function fileAddress(path: string) {
  const name = readablePath(path);
  if (name === path) return { uri: pathToFileURL(path).href };
  const uri = name.split('/').map(encodeURIComponent).join('/');
  return { uri, uriBaseId: ROOT };
}

/** Lines and columns from 1; the end column is the first that no longer belongs. */
export function region({ start, end }: LocatedPlace['range']) {
  return {
    startLine: start.line + 1,
    startColumn: start.character + 1,
    endLine: end.line + 1,
    endColumn: end.character + 1,
  };
}
