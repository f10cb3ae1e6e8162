import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { basename, dirname } from 'node:path';
import type { SourceFile } from '../shared/source/source-file.ts';
import { paperPath } from './files.ts';
import { LOCAL_GIT } from './git.ts';

/** Identifies the exact texts that were read. */
export interface Revision {
  /** The current commit of the first file's repository; undefined outside version control. */
  readonly commit: Commit | undefined;
  readonly files: readonly FileRevision[];
}

export interface Commit {
  readonly id: string;
  /** Its time, as ISO 8601 in UTC. */
  readonly time: string;
}

export interface FileRevision {
  readonly name: string;
  /** SHA-256 of the text in UTF-8. */
  readonly sha256: string;
  /** Whether the text equals the committed one; undefined outside version control. */
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
  return { name: paperPath(path), sha256, committed: isCommitted(path, text) };
}

/**
 * Compares git's hashes of the contents. Asking git for the state of the work tree could run filters that the
 * repository configures; this runs nothing.
 */
function isCommitted(path: string, text: string): boolean | undefined {
  const folder = dirname(path);
  if (git(folder, 'rev-parse', '--verify', 'HEAD') === undefined) return undefined;
  const blob = git(folder, 'rev-parse', '--verify', `HEAD:./${basename(path)}`);
  // A checkout may have converted the line ends.
  return (
    blob !== undefined && [text, text.replaceAll('\r\n', '\n')].some((one) => blobId(one, blob) === blob)
  );
}

/** The hash of a blob; the length of another hash shows which algorithm the repository uses. */
function blobId(text: string, like: string): string {
  const bytes = Buffer.from(text);
  const hash = createHash(like.length === 64 ? 'sha256' : 'sha1');
  return hash.update(`blob ${bytes.length}\0`).update(bytes).digest('hex');
}

/** The trimmed output of git; undefined without git or a repository, or if git fails. */
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
