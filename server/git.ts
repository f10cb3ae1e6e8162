import { execFileSync } from 'node:child_process';
import { posix } from 'node:path';
import { fileKind } from '../shared/configuration/project.ts';
import { UsageError } from './commands/command.ts';

/**
 * A git repository, read at any commit without checking anything out. Only git commands
 * that read objects are run, never through a shell.
 */
export interface Repository {
  /** The top folder of the working tree, or of a bare repository, with `/`. */
  readonly top: string;
  readonly isBare: boolean;
  /** The folder that it was opened from, relative to it: empty or ending with `/`. */
  readonly prefix: string;
  /** The commit that a revision names. */
  commit(revision: string): string;
  /** The merge base of two commits. */
  mergeBase(one: string, other: string): string;
  /** The engine and controller files below a path from the top, or the file at that path; sorted. */
  list(commit: string, path: string): string[];
  /** The text of a file at a commit; undefined if it did not exist or is not a YAML file. */
  read(commit: string, path: string): string | undefined;
}

/** `folder` is inside of it; the working directory if it is not given. */
export function openRepository(folder?: string): Repository {
  const text = (args: readonly string[]): string => git(args, folder).toString().trimEnd();
  const attempt = (args: readonly string[]) => attemptIn(folder, args);
  const isBare = text(['rev-parse', '--is-bare-repository']) === 'true';
  const [top = '', prefix = ''] = text(
    isBare ? ['rev-parse', '--absolute-git-dir'] : ['rev-parse', '--show-toplevel', '--show-prefix'],
  ).split('\n');
  return {
    top,
    prefix,
    isBare,
    commit(revision) {
      // Git would take a name with a leading dash for an option.
      if (revision === '' || revision.startsWith('-')) throw new UsageError(`${revision} is not a revision.`);
      const found = attempt(['rev-parse', '--verify', '--quiet', `${revision}^{commit}`]);
      if (!found) throw new UsageError(`Revision ${revision} does not exist in this repository.`);
      return found.toString().trim();
    },
    mergeBase(one, other) {
      const found = attempt(['merge-base', one, other]);
      if (!found) throw new UsageError('The two revisions have no common commit.');
      return found.toString().trim();
    },
    list(commit, path) {
      const only = path === '' ? [] : [path];
      const listing = git(['ls-tree', '-r', '-z', '--full-tree', commit, '--', ...only], folder);
      const files = listing.toString().split('\0').flatMap(fileOf);
      return files.filter((file) => fileKind(file)).sort();
    },
    read(commit, path) {
      if (!/\.ya?ml$/.test(path)) return undefined;
      const bytes = attempt(['cat-file', 'blob', `${commit}:${path}`]);
      return bytes && new TextDecoder().decode(bytes);
    },
  };
}

/** `100644 blob HASH<tab>PATH`; links and submodules are skipped. */
function fileOf(line: string): string[] {
  const [, path] = /^100\d{3} blob [\da-f]+\t(.*)$/s.exec(line) ?? [];
  return path === undefined ? [] : [path];
}

/**
 * The path after `REV:`, from the top of the repository. With `./` it starts at the working directory.
 */
export function pathFromTop({ prefix }: Repository, path: string): string {
  const joined = /^\.\.?(\/|$)/.test(path) ? posix.join(prefix, path) : posix.normalize(path || '.');
  if (joined.startsWith('../') || joined === '..' || joined.startsWith('/'))
    throw new UsageError(`${path} is outside the repository.`);
  return joined.replace(/\/$/, '').replace(/^\.$/, '');
}

/** The output of git; undefined if it fails. */
function attemptIn(folder: string | undefined, args: readonly string[]): Buffer | undefined {
  try {
    return git(args, folder);
  } catch (error) {
    if (error instanceof UsageError && error.message === NO_GIT) throw error;
    return undefined;
  }
}

/**
 * The environment for git. A partial clone could make git fetch missing objects with a program that the repository
 * names. These settings prevent that in all git versions, and prevent writing.
 */
export const LOCAL_GIT = {
  ...process.env,
  GIT_NO_LAZY_FETCH: '1',
  GIT_ALLOW_PROTOCOL: 'none',
  GIT_OPTIONAL_LOCKS: '0',
  GIT_TERMINAL_PROMPT: '0',
};

const NO_GIT = 'Reading revisions requires git, which is not installed or not on the search path.';

/** In bytes; enough for the file list of a large repository. */
const LONGEST_OUTPUT = 64_000_000;

function git(args: readonly string[], folder: string | undefined): Buffer {
  try {
    return execFileSync('git', args, {
      ...(folder !== undefined && { cwd: folder }),
      stdio: ['ignore', 'pipe', 'pipe'],
      maxBuffer: LONGEST_OUTPUT,
      env: { ...LOCAL_GIT, GIT_LITERAL_PATHSPECS: '1', LC_ALL: 'C' },
    });
  } catch (error) {
    const { code, stderr } = error as NodeJS.ErrnoException & { stderr?: Buffer };
    if (code === 'ENOENT') throw new UsageError(NO_GIT);
    const reason = stderr
      ?.toString()
      .trim()
      .split('\n')[0]
      ?.replace(/^fatal: /, '');
    throw new UsageError(`git failed: ${reason || code}.`);
  }
}
