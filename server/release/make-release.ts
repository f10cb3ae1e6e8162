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
import type { ReleaseFile } from './manifest.ts';

/** Makes a folder whole or not at all: beside its place, checked there, then renamed. */
export function makeFolder(
  name: string,
  files: readonly ReleaseFile[],
  check: (folder: string) => void,
): void {
  const target = resolve(name);
  const beside = join(dirname(target), `.${basename(target)}.${randomBytes(6).toString('hex')}.tmp`);
  try {
    mkdirSync(beside, { recursive: true });
    for (const { name: file, contents } of files) {
      mkdirSync(dirname(join(beside, file)), { recursive: true });
      writeFileSync(join(beside, file), contents, { flag: 'wx' });
    }
    check(beside);
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

/** Whether a folder contains exactly these files. Throws a `UsageError` if it contains anything else. */
export function isMade(name: string, files: readonly ReleaseFile[]): boolean {
  const found = lstatSync(name, { throwIfNoEntry: false });
  if (!found) return false;
  if (!found.isDirectory()) throw new UsageError(`Cannot make ${name}: a file has this name.`);
  if (readdirSync(name).length === 0) return false;
  const isSame = files.every((file) => {
    const contents = contentsOf(join(name, file.name));
    return contents?.equals(Buffer.from(file.contents as Uint8Array)) ?? false;
  });
  if (isSame) return true;
  throw new UsageError(
    `${name} already contains something else; a release is not overwritten. Name another folder.`,
  );
}

function contentsOf(path: string): Buffer | undefined {
  try {
    return readFileSync(path);
  } catch {
    return undefined;
  }
}
