import { randomBytes } from 'node:crypto';
import {
  accessSync,
  chmodSync,
  constants,
  lstatSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { reason } from './files.ts';

/**
 * Writes a file atomically: the contents go into a new file beside it, which is then renamed. A concurrent reader sees
 * the old or the new contents. Returns the reason as a sentence if it fails.
 */
export function writeWhole(name: string, text: string | Uint8Array): string | undefined {
  let beside: string | undefined;
  try {
    const { path, mode } = targetOf(name);
    beside = `${path}.${randomBytes(6).toString('hex')}.tmp`;
    writeFileSync(beside, text, { flag: 'wx', ...(mode !== undefined && { mode }) });
    // The umask also applied to this new file.
    if (mode !== undefined) chmodSync(beside, mode);
    renameSync(beside, path);
    return undefined;
  } catch (error) {
    if (beside !== undefined) rmSync(beside, { force: true });
    return `Cannot write ${name}: ${reason(error)}.`;
  }
}

interface Target {
  readonly path: string;
  /** The permissions of the existing file; undefined if there is none. */
  readonly mode: number | undefined;
}

/** The target of a link, which is kept. Throws for a folder or a device. */
function targetOf(name: string): Target {
  const found = statSync(name, { throwIfNoEntry: false });
  if (!found) {
    if (lstatSync(name, { throwIfNoEntry: false })) throw new Error('it is a link to a missing file');
    return { path: name, mode: undefined };
  }
  if (found.isDirectory()) throw new Error('it is a folder');
  if (!found.isFile()) throw new Error('it is not a regular file');
  // Renaming over a file needs no write permission for it, so a read-only file must be checked for.
  accessSync(name, constants.W_OK);
  return { path: realpathSync(name), mode: found.mode & 0o777 };
}
