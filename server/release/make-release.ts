import { randomBytes } from 'node:crypto';
import {
  existsSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmdirSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { UsageError } from '../commands/command.ts';
import { reason } from '../files.ts';
import { checkRelease } from './check-release.ts';
import { MANIFEST, type ReleaseFile } from './manifest.ts';

/** Makes a folder whole or not at all: beside its place, checked there, then renamed. */
export function makeFolder(name: string, files: readonly ReleaseFile[]): void {
  const target = resolve(name);
  const beside = join(dirname(target), `.${basename(target)}.${randomBytes(6).toString('hex')}.tmp`);
  try {
    mkdirSync(beside, { recursive: true });
    for (const { name: file, contents } of files) {
      mkdirSync(dirname(join(beside, file)), { recursive: true });
      writeFileSync(join(beside, file), contents, { flag: 'wx' });
    }
    const checked = checkRelease(beside);
    if (checked.status !== 0)
      throw new UsageError(
        `The release was not made: what was written is not what the file says.\n${checked.text}`,
      );
    // An empty folder is a place that somebody has prepared.
    if (existsSync(target)) rmdirSync(target);
    renameSync(beside, target);
  } catch (error) {
    if (error instanceof UsageError) throw error;
    throw new UsageError(`Cannot make ${name}: ${reason(error)}.`);
  } finally {
    rmSync(beside, { recursive: true, force: true });
  }
}

/** Whether a folder is a release of exactly these files. Throws a `UsageError` if it contains anything else. */
export function isMade(name: string, files: readonly ReleaseFile[]): boolean {
  const found = lstatSync(name, { throwIfNoEntry: false });
  if (!found) return false;
  if (!found.isDirectory()) throw new UsageError(`Cannot make ${name}: a file has this name.`);
  if (readdirSync(name).length === 0) return false;
  if (isWhole(name)) {
    // The manifest has the digest of every other file.
    const manifest = files.find((file) => file.name === MANIFEST)!;
    if (readFileSync(join(name, MANIFEST), 'utf8') === manifest.contents) return true;
  }
  throw new UsageError(
    `${name} already contains something else; a release is not overwritten. Name another folder.`,
  );
}

function isWhole(folder: string): boolean {
  try {
    return checkRelease(folder).status === 0;
  } catch (error) {
    if (error instanceof UsageError) return false;
    throw error;
  }
}
