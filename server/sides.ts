import { existsSync, statSync } from 'node:fs';
import { basename, join, relative } from 'node:path';
import { createProject, fileKind, type Project, resolvePath } from '../shared/configuration/project.ts';
import { readSource } from '../shared/source/source-file.ts';
import { UsageError } from './commands/command.ts';
import {
  diskProject,
  findFiles,
  type NamedFile,
  projectPath,
  readablePath,
  readText,
  refusalOf,
} from './files.ts';
import { openRepository, pathFromTop, type Repository } from './git.ts';

/** One of the two compared states: a file or a folder, on disk or at a commit. */
export interface Side {
  readonly name: string;
  readonly project: Project;
  /** By the path below the folder, which is the same on the other side. */
  readonly files: ReadonlyMap<string, NamedFile>;
  readonly isFolder: boolean;
  /** The text of one of its files, without parsing it. */
  textOf(path: string): string | undefined;
  /** The name to show for a path. */
  nameOf(path: string): string;
}

/** A file in its two states, one of which may be missing. */
export interface FilePair {
  readonly was: NamedFile | undefined;
  readonly is: NamedFile | undefined;
}

/** `A..B`, `A...B`; neither a path that goes up (`../x`) nor one that holds blanks. */
const RANGE = /^([^\s.:][^\s:]*?)?\.\.(\.)?([^\s.:/\\][^\s:]*)?$/;

/** The old and the new side that the operands name. */
export function sidesOf(operands: readonly string[]): { old: Side; new: Side } {
  const [first, second, ...more] = operands;
  if (first === undefined) throw new UsageError('`compare` takes OLD and NEW, or `REV..REV`.');
  const range = existsSync(first) ? null : RANGE.exec(first);
  if (range && (range[1] || range[3])) return sidesOfRange(range, operands.slice(1));
  if (second === undefined) return sidesOfRevision(first);
  if (more.length > 0)
    throw new UsageError('`compare` takes only OLD and NEW; more paths are allowed only after `REV..REV`.');
  const sides = { old: sideOf(first), new: sideOf(second) };
  if (sides.old.isFolder !== sides.new.isFolder) {
    throw new UsageError('Compare a file with a file, or a folder with a folder.');
  }
  return sides;
}

/** A revision and the working tree, with all files of the repository. */
function sidesOfRevision(revision: string): { old: Side; new: Side } {
  if (existsSync(revision) || revision.includes(':'))
    throw new UsageError(`\`compare\` needs a second file or folder to compare \`${revision}\` with.`);
  const repository = openRepository();
  const old = committed(repository, revision, repository.commit(revision), []);
  if (repository.isBare) throw new UsageError('A bare repository has no working tree to compare with.');
  return { old, new: { ...folder(repository.top), name: 'working tree' } };
}

function sidesOfRange(range: RegExpExecArray, paths: readonly string[]) {
  const repository = openRepository();
  const [, from = 'HEAD', dots, to = 'HEAD'] = range;
  const [one, other] = [repository.commit(from), repository.commit(to)];
  const base = dots ? repository.mergeBase(one, other) : one;
  const tops = paths.map((path) => pathFromTop(repository, `./${path}`));
  const named = dots ? `${from}...${to}` : from;
  // A change in a base or controller file is a change in every file that depends on it.
  const dependents = [base, other].flatMap((commit) => dependentsOf(repository, commit, tops));
  const all = [...new Set([...tops, ...dependents])];
  const sides = { old: committed(repository, named, base, all), new: committed(repository, to, other, all) };
  if (sides.old.files.size + sides.new.files.size === 0) {
    const below = paths.length === 0 ? 'in the repository' : `in ${paths.join(', ')}`;
    throw new UsageError(
      `No *.engine.yaml, *.controller.yaml or *.run.yaml files ${below} at ${from} or ${to}.`,
    );
  }
  return sides;
}

/** The files that a name means: a file or folder, or `REV:PATH`. Throws a `UsageError` if there are none. */
export function sideOf(name: string): Side {
  if (existsSync(name)) return statSync(name).isDirectory() ? folder(name) : file(name);
  const [, revision, path] = /^([^:]{2,}):(.*)$/s.exec(name) ?? [];
  if (revision === undefined || path === undefined)
    throw new UsageError(refusalOf(name) ?? `Cannot read ${name}.`);
  const repository = openRepository();
  const top = pathFromTop(repository, path);
  const side = committed(repository, revision, repository.commit(revision), [top]);
  if (side.files.size > 0) return side;
  throw new UsageError(
    `No *.engine.yaml, *.controller.yaml or *.run.yaml files at ${name}. A path after \`REV:\` starts at the top of the ` +
      'repository; to start at the working directory, begin it with `./`.',
  );
}

/** The engine files of a commit that refer to one of some files, directly or through others. */
function dependentsOf(repository: Repository, commit: string, paths: readonly string[]): string[] {
  if (paths.length === 0 || paths.includes('')) return [];
  const { top } = repository;
  const files = new Set(repository.list(commit, ''));
  const named = new Set(paths.flatMap((path) => repository.list(commit, path)));
  const referencesOf = (path: string): string[] => {
    const { root } = readSource(`${top}/${path}`, repository.read(commit, path) ?? '');
    return REFERENCES.flatMap((keys) => {
      const [section, key] = keys;
      const named = root.get(section);
      const reference = key === undefined ? named : named?.type === 'mapping' ? named.get(key) : undefined;
      const target = reference?.type === 'scalar' ? resolvePath(`${top}/${path}`, reference.text) : '';
      return target.startsWith(`${top}/`) ? [target.slice(top.length + 1)] : [];
    });
  };
  const references = new Map([...files].map((path) => [path, referencesOf(path)]));
  const reached = new Set(named);
  for (let size = 0; size < reached.size; ) {
    size = reached.size;
    for (const [path, targets] of references) if (targets.some((one) => reached.has(one))) reached.add(path);
  }
  return [...reached].filter((path) => !named.has(path));
}

/** The keys by which an engine file names the files that it depends on. */
const REFERENCES = [['based_on'], ['controller'], ['standby', 'controller']] as const;

/** Files of a commit, by their paths from the top; if only one path is given, by their paths below it. */
function committed(repository: Repository, name: string, commit: string, paths: readonly string[]): Side {
  const { top } = repository;
  const inside = (path: string) => (path.startsWith(`${top}/`) ? path.slice(top.length + 1) : undefined);
  const textOf = (path: string) => {
    const own = inside(path);
    return own === undefined ? undefined : repository.read(commit, own);
  };
  const project = createProject(textOf);
  const found = [
    ...new Set((paths.length === 0 ? [''] : paths).flatMap((path) => repository.list(commit, path))),
  ];
  const [only] = paths;
  const isFile = paths.length === 1 && found.length === 1 && found[0] === only;
  const below = paths.length === 1 && !isFile && only ? `${only}/` : '';
  const nameOf = (path: string) => `${name}:${inside(path) ?? path}`;
  const files = found.map((own) => {
    const [key, path] = [isFile ? '' : own.slice(below.length), `${top}/${own}`];
    return [key, { name: nameOf(path), path }] as const;
  });
  return { name, project, files: new Map(files), isFolder: !isFile, textOf, nameOf };
}

function folder(name: string): Side {
  const { files, problems } = findFiles([name]);
  if (problems[0]) throw new UsageError(problems[0]);
  const keyed = files.map((one) => [relative(name, one.name).replaceAll('\\', '/'), one] as const);
  return { ...onDisk(name), files: new Map(keyed), isFolder: true };
}

function file(name: string): Side {
  const refusal = refusalOf(name);
  if (refusal) throw new UsageError(refusal);
  const only = { name: join(name), path: projectPath(name) };
  return { ...onDisk(name), files: new Map([['', only]]), isFolder: false };
}

const onDisk = (name: string): Pick<Side, 'name' | 'project' | 'textOf' | 'nameOf'> => {
  return { name, project: diskProject([name]), textOf: readText, nameOf: readablePath };
};

type Entry = readonly [key: string, file: NamedFile];

/**
 * Pairs the files of both sides by key; the rest by name, if only one file on each side has it, or by common lines.
 */
export function pairFiles(old: Side, now: Side): FilePair[] {
  const came = [...now.files].filter(([key]) => !old.files.has(key));
  const went = [...old.files].filter(([key]) => !now.files.has(key));
  const moved = new Map<string, Entry>(
    came.flatMap(([key]) => {
      const alike = ([other]: Entry) => basename(other) === basename(key);
      const [before, ...others] = went.filter(alike);
      return before && others.length === 0 && came.filter(alike).length === 1 ? [[key, before] as const] : [];
    }),
  );
  const taken = new Set([...moved.values()].map(([key]) => key));
  const left = went.filter(([key]) => !taken.has(key));
  const renamed = renamedFiles(
    old,
    left,
    now,
    came.filter(([key]) => !moved.has(key)),
  );
  for (const [key, before] of renamed) {
    moved.set(key, before);
    taken.add(before[0]);
  }
  const pairs = [...now.files].map(([key, is]) => ({
    key,
    was: old.files.get(key) ?? moved.get(key)?.[1],
    is,
  }));
  const gone = left.filter(([key]) => !taken.has(key)).map(([key, was]) => ({ key, was, is: undefined }));
  return [...pairs, ...gone].sort((a, b) => (a.key < b.key ? -1 : 1)).map(({ was, is }) => ({ was, is }));
}

/** The minimum share of lines that a renamed file keeps. Common practice of version control, no source. */
const KEPT = 0.5;

/** Beyond this number of pairs, comparing each file with each takes too long. */
const MOST_PAIRS = 2500;

/** Maps the new key of a renamed file to the old file; the most similar files are paired first. */
function renamedFiles(
  old: Side,
  went: readonly Entry[],
  now: Side,
  came: readonly Entry[],
): Map<string, Entry> {
  const found = new Map<string, Entry>();
  if (went.length * came.length > MOST_PAIRS) return found;
  const [before, after] = [went.map((one) => linesOf(old, one)), came.map((one) => linesOf(now, one))];
  const pairs = went.flatMap((was, i) =>
    came.map((is, j) => ({ was, is, kept: keptShare(before[i]!, after[j]!) })),
  );
  const used = new Set<Entry>();
  for (const { was, is, kept } of pairs.sort((a, b) => b.kept - a.kept)) {
    if (kept < KEPT || fileKind(was[1].path) !== fileKind(is[1].path)) continue;
    if (used.has(was) || used.has(is)) continue;
    used.add(was).add(is);
    found.set(is[0], was);
  }
  return found;
}

function linesOf({ textOf }: Side, [, { path }]: Entry): string[] {
  const lines = textOf(path)?.split('\n') ?? [];
  return lines.map((line) => line.trim()).filter((line) => line !== '');
}

/** The common lines of two texts as a share of the longer one. */
function keptShare(a: readonly string[], b: readonly string[]): number {
  const left = new Map<string, number>();
  for (const line of a) left.set(line, (left.get(line) ?? 0) + 1);
  const shared = b.filter((line) => {
    const count = left.get(line) ?? 0;
    if (count > 0) left.set(line, count - 1);
    return count > 0;
  });
  return shared.length / Math.max(a.length, b.length, 1);
}
