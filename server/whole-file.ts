import { randomBytes } from 'node:crypto';
import { realpathSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { reason } from './files.ts';

/**
 * Writes a file whole or not at all: the text goes into a new file beside it, which then takes its name.
 * Whoever reads meanwhile sees the old text or the new one. Gives the reason why it could not be done, as a
 * sentence.
 */
export function writeWhole(name: string, text: string): string | undefined {
  let beside: string | undefined;
  try {
    const path = targetOf(name);
    beside = `${path}.${randomBytes(6).toString('hex')}.tmp`;
    writeFileSync(beside, text, { flag: 'wx' });
    renameSync(beside, path);
    return undefined;
  } catch (error) {
    if (beside !== undefined) rmSync(beside, { force: true });
    return `${name} cannot be written: ${reason(error)}.`;
  }
}

/** The file behind a link, which stays a link. Throws for what is there and no file: a folder, a device. */
function targetOf(name: string): string {
  const found = statSync(name, { throwIfNoEntry: false });
  if (!found) return name;
  if (found.isDirectory()) throw new Error('it is a folder');
  if (!found.isFile()) throw new Error('it is no regular file');
  return realpathSync(name);
}
