import { pathToFileURL } from 'node:url';
import { readablePath } from '../files.ts';
import type { LocatedPlace } from './check-report.ts';

/** The SARIF name of the folder that relative addresses start from. */
export const ROOT = '%SRCROOT%';

/** A file's address: relative to the working directory if it is inside, so that it is the same on every machine. */
export function fileAddress(path: string) {
  const name = readablePath(path);
  if (name === path) return { uri: pathToFileURL(path).href };
  const uri = name.split('/').map(encodeURIComponent).join('/');
  return { uri, uriBaseId: ROOT };
}

/** Lines and columns from 1; the end column is exclusive. */
export function region({ start, end }: LocatedPlace['range']) {
  return {
    startLine: start.line + 1,
    startColumn: start.character + 1,
    endLine: end.line + 1,
    endColumn: end.character + 1,
  };
}
