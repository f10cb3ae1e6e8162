import { execFileSync } from 'node:child_process';
import { posix } from 'node:path';
import { fileKind } from '../shared/configuration/project.ts';
import { Refusal } from './commands/command.ts';

/**
 * The git repository that the command runs in, readable at any commit without a checkout. It runs only git commands that
 * read objects, never through a shell.
 */
export interface Repository {
  /** The folder of the working tree, with `/`. */
  readonly top: string;
  /** The folder in it that the command runs in: empty, or ending with `/`. */
  readonly prefix: string;
  /** The commit of a revision. */
  commit(revision: string): string;
  /** The common ancestor of two commits. */
  mergeBase(one: string, other: string): string;
  /** The engine and controller files in a folder, or the file itself, by path from the top; sorted. */
  list(commit: string, path: string): string[];
  /** The text of a file at a commit; undefined if there is none or it is not YAML. */
  read(commit: string, path: string): string | undefined;
}

export function openRepository(): Repository {
  const [top = '', prefix = ''] = text(['rev-parse', '--show-toplevel', '--show-prefix']).split('\n');
  return {
    top,
    prefix,
    commit(revision) {
      // git would take a name that begins with a dash for an option; no revision has such a name.
      if (revision === '' || revision.startsWith('-')) throw new Refusal(`'${revision}' is not a revision.`);
      const found = attempt(['rev-parse', '--verify', '--quiet', `${revision}^{commit}`]);
      if (!found) throw new Refusal(`This repository has no revision '${revision}'.`);
      return found.toString().trim();
    },
    mergeBase(one, other) {
      const found = attempt(['merge-base', one, other]);
      if (!found) throw new Refusal('The two revisions have no common ancestor.');
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

/** `100644 blob HASH<tab>PATH`; links and submodules are skipped. */
function fileOf(line: string): string[] {
  const [, path] = /^100\d{3} blob [\da-f]+\t(.*)$/s.exec(line) ?? [];
  return path === undefined ? [] : [path];
}

/**
 * A path that a user wrote after `REV:`, relative to the top of the repository; with `./` relative to the folder that the
 * command runs in.
 */
export function pathFromTop({ prefix }: Repository, path: string): string {
  const joined = /^\.\.?(\/|$)/.test(path) ? posix.join(prefix, path) : posix.normalize(path || '.');
  if (joined.startsWith('../') || joined === '..' || joined.startsWith('/'))
    throw new Refusal(`${path} is outside the repository.`);
  return joined.replace(/\/$/, '').replace(/^\.$/, '');
}

const text = (args: readonly string[]): string => git(args).toString().trimEnd();

/** The output of git, or undefined if it fails. */
function attempt(args: readonly string[]): Buffer | undefined {
  try {
    return git(args);
  } catch (error) {
    if (error instanceof Refusal && error.message === NO_GIT) throw error;
    return undefined;
  }
}

/**
 * The environment of git. A partial clone can name a program that fetches missing objects. These variables prevent any
 * fetch, in old and new versions of git, and any write.
 */
export const LOCAL_GIT = {
  ...process.env,
  GIT_NO_LAZY_FETCH: '1',
  GIT_ALLOW_PROTOCOL: 'none',
  GIT_OPTIONAL_LOCKS: '0',
  GIT_TERMINAL_PROMPT: '0',
};

const NO_GIT = 'Reading revisions needs git, which is not installed or not on the PATH.';

/** Bytes. The file list of a large repository is longer than any configuration. */
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
    throw new Refusal(`git failed: ${reason || code}.`);
  }
}
