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
 * Writes a file whole or not at all: the text goes into a new file beside it, which then takes its name.
 * Whoever reads meanwhile sees the old text or the new one. Gives the reason why it could not be done, as a
 * sentence.
 */
export function writeWhole(name: string, text: string): string | undefined {
  let beside: string | undefined;
  try {
    const { path, mode } = targetOf(name);
    beside = `${path}.${randomBytes(6).toString('hex')}.tmp`;
    writeFileSync(beside, text, { flag: 'wx', ...(mode !== undefined && { mode }) });
    // What is taken away from all new files was taken away from this one too.
    if (mode !== undefined) chmodSync(beside, mode);
    renameSync(beside, path);
    return undefined;
  } catch (error) {
    if (beside !== undefined) rmSync(beside, { force: true });
    return `${name} cannot be written: ${reason(error)}.`;
  }
}

interface Target {
  readonly path: string;
  /** Who may read and write the file that is there; undefined where there is none yet. */
  readonly mode: number | undefined;
}

/** The file behind a link, which stays a link. Throws for what is there and no file: a folder, a device. */
function targetOf(name: string): Target {
  const found = statSync(name, { throwIfNoEntry: false });
  if (!found) {
    if (lstatSync(name, { throwIfNoEntry: false }))
      throw new Error('it is a link to a file that is not there');
    return { path: name, mode: undefined };
  }
  if (found.isDirectory()) throw new Error('it is a folder');
  if (!found.isFile()) throw new Error('it is no regular file');
  // To put a file in the place of another needs no right to write that one; whoever took the right away meant it.
  accessSync(name, constants.W_OK);
  return { path: realpathSync(name), mode: found.mode & 0o777 };
}
