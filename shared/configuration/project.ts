import { type Rewriting, readSource, rewritten, type SourceFile } from '../source/source-file.ts';

/** Source files by path, each read once per version. Paths are absolute and use `/`. */
export interface Project {
  /** The current file; undefined if it does not exist. */
  source(path: string): SourceFile | undefined;
  /** Why the host does not read a path, as a clause after `but`; undefined if it may be read. */
  refusal(path: string): string | undefined;
  /**
   * Applies changes in order. The result replaces the text that the host would read, as an unsaved document in an
   * editor does. For a file that was not read, the first change is its whole text.
   */
  rewrite(path: string, changes: readonly Rewriting[]): void;
  /** Forgets a file, so that the host reads it again. */
  forget(path: string): void;
}

/** `read` returns the text of a file, or undefined if it does not exist. It is not called for refused paths. */
export function createProject(
  read: (path: string) => string | undefined,
  refusal: Project['refusal'] = () => undefined,
): Project {
  const files = new Map<string, SourceFile | undefined>();
  return {
    source(path) {
      if (!files.has(path)) {
        const text = refusal(path) === undefined ? read(path) : undefined;
        files.set(path, text === undefined ? undefined : readSource(path, text));
      }
      return files.get(path);
    },
    refusal,
    rewrite(path, changes) {
      for (const change of changes) {
        const earlier = files.get(path);
        files.set(path, earlier ? rewritten(earlier, change) : readSource(path, change.text));
      }
    },
    forget(path) {
      files.delete(path);
    },
  };
}

/** The path that `reference` means in the file `from`: relative to the folder of that file unless it is absolute. */
export function resolvePath(from: string, reference: string): string {
  // Repeated slashes count as one, except at the beginning, where they can name another computer. Otherwise a file
  // would have any number of paths, and a cycle of files might never be detected.
  const wanted = reference.replaceAll('\\', '/').replace(/(?<=[^/])\/{2,}/g, '/');
  const absolute = wanted.startsWith('/') || /^[A-Za-z]:\//.test(wanted);
  const steps = absolute ? [] : from.split('/').slice(0, -1);
  for (const step of wanted.split('/')) {
    if (step === '..') {
      if (steps.length > 1) steps.pop();
    } else if (step !== '.') steps.push(step);
  }
  return steps.join('/');
}

/**
 * How the file `from` refers to the file `path`, relative to its own folder and beginning with `./` or `../`. The
 * inverse of `resolvePath`.
 */
export function referenceTo(path: string, from: string): string {
  const [steps, here] = [path.split('/'), from.split('/').slice(0, -1)];
  const parting = here.findIndex((step, i) => step !== steps[i]);
  // There is no relative path to another drive.
  if (parting === 0) return path;
  const common = parting < 0 ? here.length : parting;
  const up = here.slice(common).map(() => '..');
  return [...(up.length > 0 ? up : ['.']), ...steps.slice(common)].join('/');
}

export const FILE_KINDS = ['engine', 'controller', 'run'] as const;
export type FileKind = (typeof FILE_KINDS)[number];

/** The kind of a file, by its name; undefined for any other file. */
export function fileKind(path: string): FileKind | undefined {
  return FILE_KINDS.find((kind) => path.endsWith(`.${kind}.yaml`));
}
