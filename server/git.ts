import { execFileSync } from 'node:child_process';
import { posix } from 'node:path';
import { fileKind } from '../shared/configuration/project.ts';
import { Refusal } from './commands/command.ts';

/**
 * The git repository that the command runs in, read at any of its commits without checking anything out. Only
 * commands that read objects are run, each as a program of its own and never through a shell.
 */
export interface Repository {
  /** The folder of the working tree, with `/`. */
  readonly top: string;
  /** Where in it the command runs: empty or ending with `/`. */
  readonly prefix: string;
  /** The commit that a user means by a name. */
  commit(revision: string): string;
  /** The commit where two lines of work parted. */
  mergeBase(one: string, other: string): string;
  /** The engine and controller files below a path from the top, or the file that it is; sorted. */
  list(commit: string, path: string): string[];
  /** The text of a file as it was at a commit; undefined where there was none or it is no text of ours. */
  read(commit: string, path: string): string | undefined;
}

export function openRepository(): Repository {
  const [top = '', prefix = ''] = text(['rev-parse', '--show-toplevel', '--show-prefix']).split('\n');
  return {
    top,
    prefix,
    commit(revision) {
      // A name that begins with a dash would be an option; no revision is named so.
      if (revision === '' || revision.startsWith('-')) throw new Refusal(`${revision} is no revision.`);
      const found = attempt(['rev-parse', '--verify', '--quiet', `${revision}^{commit}`]);
      if (!found) throw new Refusal(`There is no revision ${revision} in this repository.`);
      return found.toString().trim();
    },
    mergeBase(one, other) {
      const found = attempt(['merge-base', one, other]);
      if (!found) throw new Refusal('The two revisions have no commit in common.');
      return found.toString().trim();
    },
    list(commit, path) {
      const listing = git([
        'ls-tree',
        '-r',
        '-z',
        '--full-tree',
        commit,
        '--',
        ...(path === '' ? [] : [path]),
      ]);
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

/** `100644 blob HASH<tab>PATH`; links and other repositories are no files of ours. */
function fileOf(line: string): string[] {
  const [, path] = /^100\d{3} blob [\da-f]+\t(.*)$/s.exec(line) ?? [];
  return path === undefined ? [] : [path];
}

/**
 * A path that a user wrote behind `REV:`, from the top of the repository: with `./` it starts where the
 * command runs.
 */
export function pathFromTop({ prefix }: Repository, path: string): string {
  const joined = /^\.\.?(\/|$)/.test(path) ? posix.join(prefix, path) : posix.normalize(path || '.');
  if (joined.startsWith('../') || joined === '..' || joined.startsWith('/'))
    throw new Refusal(`${path} lies outside the repository.`);
  return joined.replace(/\/$/, '').replace(/^\.$/, '');
}

const text = (args: readonly string[]): string => git(args).toString().trimEnd();

/** Output of git, or undefined where it says no. */
function attempt(args: readonly string[]): Buffer | undefined {
  try {
    return git(args);
  } catch (error) {
    if (error instanceof Refusal && error.message === NO_GIT) throw error;
    return undefined;
  }
}

/**
 * What git is to know of its surroundings. A repository that lacks objects names where to fetch them, and how: by a program
 * of its choice. Nothing is fetched, by a git of today or of earlier; and nothing is written.
 */
export const LOCAL_GIT = {
  ...process.env,
  GIT_NO_LAZY_FETCH: '1',
  GIT_ALLOW_PROTOCOL: 'none',
  GIT_OPTIONAL_LOCKS: '0',
  GIT_TERMINAL_PROMPT: '0',
};

const NO_GIT = 'git is needed to read revisions, and it is not installed or not on the search path.';

/** Bytes; the list of all files of a large repository is longer than any of ours. */
const LONGEST_OUTPUT = 64_000_000;

function git(args: readonly string[]): Buffer {
  try {
    return execFileSync('git', args, {
      stdio: ['ignore', 'pipe', 'pipe'],
      maxBuffer: LONGEST_OUTPUT,
      env: { ...LOCAL_GIT, GIT_LITERAL_PATHSPECS: '1', LC_ALL: 'C' },
    });
  } catch (error) {
    const { code, stderr } = error as NodeJS.ErrnoException & { stderr?: Buffer };
    if (code === 'ENOENT') throw new Refusal(NO_GIT);
    const reason = stderr
      ?.toString()
      .trim()
      .split('\n')[0]
      ?.replace(/^fatal: /, '');
    throw new Refusal(`git cannot be asked: ${reason || code}.`);
  }
}
