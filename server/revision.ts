import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { basename, dirname } from 'node:path';
import type { SourceFile } from '../shared/source/source-file.ts';
import { readablePath } from './files.ts';
import { LOCAL_GIT } from './git.ts';

/** Which texts exactly were looked at, so that the same ones can be found again. */
export interface Revision {
  /** The commit that the first file's folder stands at; undefined outside of version control. */
  readonly commit: Commit | undefined;
  readonly files: readonly FileRevision[];
}

export interface Commit {
  readonly id: string;
  /** When it was made, as ISO 8601 in UTC. */
  readonly time: string;
}

export interface FileRevision {
  readonly name: string;
  /** SHA-256 of the text in UTF-8. */
  readonly sha256: string;
  /** Whether the text is the one in its folder's commit; undefined outside of version control. */
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
 * Compares names of content, as git makes them. To ask git for the state of the work tree would run whatever
 * filters a stranger's folder configures; this runs nothing.
 */
function isCommitted(path: string, text: string): boolean | undefined {
  const folder = dirname(path);
  if (git(folder, 'rev-parse', '--verify', 'HEAD') === undefined) return undefined;
  const blob = git(folder, 'rev-parse', '--verify', `HEAD:./${basename(path)}`);
  // Line ends may have been changed on the way out of the repository.
  return (
    blob !== undefined && [text, text.replaceAll('\r\n', '\n')].some((one) => blobId(one, blob) === blob)
  );
}

/** A blob's name under the hash that the repository uses, which the length of another name tells. */
function blobId(text: string, like: string): string {
  const bytes = Buffer.from(text);
  const hash = createHash(like.length === 64 ? 'sha256' : 'sha1');
  return hash.update(`blob ${bytes.length}\0`).update(bytes).digest('hex');
}

/** What git prints, trimmed; undefined where there is no git, no repository or no such thing. */
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
