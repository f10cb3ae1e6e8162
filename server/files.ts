import {
  accessSync,
  constants,
  existsSync,
  readdirSync,
  readFileSync,
  realpathSync,
  statSync,
} from 'node:fs';
import { basename, dirname, isAbsolute, join, relative, resolve } from 'node:path';
import { createProject, fileKind, type Project } from '../shared/configuration/project.ts';
import { isInside } from './boundary.ts';

/** The name of a file as the user wrote it or as found in a folder, and its path in the project. */
export interface NamedFile {
  readonly name: string;
  readonly path: string;
}

export interface FoundFiles {
  /** In the order of the arguments, each once; the files of a folder sorted. */
  readonly files: readonly NamedFile[];
  /** One sentence per argument or folder that could not be read. */
  readonly problems: readonly string[];
}

const SKIPPED_FOLDERS = new Set(['node_modules', '.git']);

/** The engine and controller files that the arguments name, and those in the named folders. */
export function findFiles(names: readonly string[]): FoundFiles {
  const files = new Map<string, NamedFile>();
  const problems: string[] = [];
  const add = (name: string) => {
    const path = projectPath(name);
    if (!files.has(path)) files.set(path, { name, path });
  };
  for (const name of names) {
    const before = problems.length;
    if (isFolder(name)) {
      const below = filesBelow(name, problems);
      for (const file of below) add(file);
      if (below.length === 0 && problems.length === before) {
        problems.push(`${name} contains no *.engine.yaml, *.controller.yaml or *.run.yaml files.`);
      }
    } else {
      const refusal = refusalOf(name);
      if (refusal) problems.push(refusal);
      else add(name);
    }
  }
  return { files: [...files.values()], problems };
}

/** Links to folders are not followed, so that the search always ends. */
function filesBelow(folder: string, problems: string[]): string[] {
  let entries: ReturnType<typeof readFolder>;
  try {
    entries = readFolder(folder);
  } catch (error) {
    problems.push(`Cannot read the folder ${folder}: ${reason(error)}.`);
    return [];
  }
  return entries.flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return SKIPPED_FOLDERS.has(entry.name) ? [] : filesBelow(path, problems);
    if (!fileKind(entry.name)) return [];
    const refusal = refusalOf(path);
    if (refusal) problems.push(refusal);
    return refusal ? [] : [path];
  });
}

function readFolder(folder: string) {
  const entries = readdirSync(folder, { withFileTypes: true });
  return entries.sort((a, b) => (a.name < b.name ? -1 : 1));
}

/** Why a file cannot be used, as a sentence; undefined if it can. */
export function refusalOf(name: string): string | undefined {
  try {
    const unreadable = reasonNotToRead(name);
    if (unreadable) return `Cannot read ${name}: ${unreadable}.`;
    if (!fileKind(name)) {
      return `${name} is not an engine, controller or run file (*.engine.yaml, *.controller.yaml, *.run.yaml).`;
    }
    accessSync(name, constants.R_OK);
    return undefined;
  } catch (error) {
    return `Cannot read ${name}: ${reason(error)}.`;
  }
}

/** In bytes. A shorter file is read, and gets a located error if it is too long for a configuration. */
const LONGEST_FILE = 16_000_000;

/** A pipe or a device might never end. */
function reasonNotToRead(path: string): string | undefined {
  const found = statSync(path);
  if (found.isDirectory()) return 'it is a folder';
  if (!found.isFile()) return 'it is not a regular file';
  if (found.size > LONGEST_FILE)
    return `it is ${(found.size / 1e6).toFixed(0)} MB long, over the limit of ${LONGEST_FILE / 1e6} MB`;
  return undefined;
}

/**
 * The text of a YAML file on disk, without a byte order mark; undefined if it does not exist or cannot be read. Bytes
 * that are not UTF-8 become U+FFFD, so that a check can report their position. Other kinds of file are not opened: a
 * configuration can name any path, and messages quote what they read.
 */
export function readText(path: string): string | undefined {
  // The path of a document that is not on disk is its URI. What it names is not relative to the working directory.
  if (!/\.ya?ml$/.test(path) || !isAbsolute(path)) return undefined;
  try {
    return reasonNotToRead(path) === undefined ? new TextDecoder().decode(readFileSync(path)) : undefined;
  } catch {
    return undefined;
  }
}

/**
 * A file can change twice within this many ms without a change of its times: some file systems store times no more
 * precisely.
 */
const COARSEST_TIME = 2000;

/**
 * A text that differs after the file has changed; undefined without a file. While the last change is so recent that
 * another one might keep the same times, the text differs at each call.
 */
export function stampOf(path: string): string | undefined {
  try {
    const { ino, size, mtimeMs, ctimeMs } = statSync(path);
    const age = Date.now() - ctimeMs;
    return [ino, size, mtimeMs, ctimeMs, Math.abs(age) < COARSEST_TIME ? age : ''].join();
  } catch {
    return undefined;
  }
}

/**
 * A project with the files on disk. Only those in or near the named files and folders are read, because a configuration
 * can name any path, and messages quote what they read.
 */
export function diskProject(names: readonly string[]): Project {
  const named = new Set(names.map(projectPath));
  const folders = [...new Set(names.map(territoryOf))];
  return createProject(readText, (path) =>
    named.has(path) || isInside(path, folders, realPath) ? undefined : ELSEWHERE,
  );
}

const ELSEWHERE =
  'it is outside the repository or folder of the named files; to have it read, name it in the command';

/**
 * The folder in which files may be read for a named file or folder: the repository that contains it; without one, the
 * working directory if that contains it; otherwise the folder itself, or the folder of the file.
 */
function territoryOf(name: string): string {
  const own = projectPath(isFolder(name) ? name : dirname(name));
  for (let folder = own; ; folder = dirname(folder)) {
    if (existsSync(join(folder, '.git'))) return withSlashes(folder);
    if (folder === dirname(folder)) break;
  }
  const here = projectPath('');
  return isInside(own, [here], (path) => path) ? here : own;
}

/** The path with all links resolved, whether or not the file exists. */
export function realPath(path: string): string {
  try {
    return withSlashes(realpathSync(path));
  } catch {
    const folder = dirname(path);
    return folder === path ? path : withSlashes(join(realPath(folder), basename(path)));
  }
}

/** The path of a file in the project: absolute, with `/`. */
export function projectPath(name: string): string {
  return withSlashes(resolve(name));
}

/** A project path for display: relative if it is inside the working directory. */
export function readablePath(path: string): string {
  const short = relative('', path);
  return short === '' || short.startsWith('..') || isAbsolute(short) ? path : withSlashes(short);
}

/**
 * A project path for papers that leave the machine: relative to the repository, or else to the working directory or the
 * folder of the file.
 */
export function paperPath(path: string): string {
  const short = relative(territoryOf(path), path);
  return isAbsolute(short) ? basename(path) : withSlashes(short);
}

function withSlashes(path: string): string {
  return process.platform === 'win32' ? path.replaceAll('\\', '/') : path;
}

function isFolder(name: string): boolean {
  try {
    return statSync(name).isDirectory();
  } catch {
    return false;
  }
}

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'no such file or folder',
  ENOTDIR: 'a part of its path is not a folder',
  EACCES: 'permission denied',
  EPERM: 'permission denied',
  ELOOP: 'its symbolic links form a loop',
  ENAMETOOLONG: 'the name is too long',
  ENOSPC: 'the disk is full',
  EROFS: 'the disk is read-only',
};

/** The reason of a system error, for use after a colon. */
export function reason(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException;
  return (code && REASONS[code]) ?? message;
}
