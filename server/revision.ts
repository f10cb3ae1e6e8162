import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { basename, dirname } from 'node:path';
import type { SourceFile } from '../shared/source/source-file.ts';
import { readablePath } from './files.ts';
import { LOCAL_GIT } from './git.ts';

/** Identifies the texts that were checked, so that they can be found again. */
export interface Revision {
  /** The commit checked out in the first file's folder; undefined outside version control. */
  readonly commit: Commit | undefined;
  readonly files: readonly FileRevision[];
}

export interface Commit {
  readonly id: string;
  /** The commit time, as ISO 8601 in UTC. */
  readonly time: string;
}

export interface FileRevision {
  readonly name: string;
  /** SHA-256 of the text as UTF-8. */
  readonly sha256: string;
  /** Whether the text equals the one in the commit; undefined outside version control. */
  readonly committed: boolean | undefined;
}

export function revisionOf(files: readonly SourceFile[]): Revision {
  return { commit: commitOf(dirname(files[0]!.path)), files: files.map(fileRevision) };
}

function commitOf(folder: string): Commit | undefined {
  const id = git(folder, 'rev-parse', '--verify', 'HEAD');
  const seconds =
    id && /^committer .* (\d+) [+-]\d{4}$/m.exec(git(folder, 'cat-file', 'commit', id) ?? '')?.[1];
  if (!id || !seconds) return undefined;
  return { id, time: new Date(Number(seconds) * 1000).toISOString().replace('.000Z', 'Z') };
}

function fileRevision({ path, text }: SourceFile): FileRevision {
  const sha256 = createHash('sha256').update(text).digest('hex');
  return { name: readablePath(path), sha256, committed: isCommitted(path, text) };
}

/**
 * Compares blob ids. Asking git for the state of the working tree would run filters that the repository configures; this
 * runs nothing.
 */
function isCommitted(path: string, text: string): boolean | undefined {
  const folder = dirname(path);
  if (git(folder, 'rev-parse', '--verify', 'HEAD') === undefined) return undefined;
  const blob = git(folder, 'rev-parse', '--verify', `HEAD:./${basename(path)}`);
  // A checkout may have converted line endings.
  return (
    blob !== undefined && [text, text.replaceAll('\r\n', '\n')].some((one) => blobId(one, blob) === blob)
  );
}

/** The blob id of a text, with the hash that the repository uses, known from the length of another id. */
function blobId(text: string, like: string): string {
  const bytes = Buffer.from(text);
  const hash = createHash(like.length === 64 ? 'sha256' : 'sha1');
  return hash.update(`blob ${bytes.length}\0`).update(bytes).digest('hex');
}

/** The trimmed output of git; undefined without git, without a repository, or if git fails. */
function git(folder: string, ...args: readonly string[]): string | undefined {
  try {
    return execFileSync('git', args, {
      cwd: folder,
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'ignore'],
      timeout: 10_000,
      env: LOCAL_GIT,
    }).trim();
  } catch {
    return undefined;
  }
}
