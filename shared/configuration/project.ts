import { type Rewriting, readSource, rewritten, type SourceFile } from '../source/source-file.ts';

/** Texts by path, each read once a version. Paths are absolute and use `/`. */
export interface Project {
  /** The file as it stands now; undefined where there is none. */
  source(path: string): SourceFile | undefined;
  /** Why the host does not read a path, to follow `but`; undefined where it may. */
  refusal(path: string): string | undefined;
  /**
   * Writes one change after the other into a text that stands before what the host would read: an editor's unsaved one.
   * The first change to a file that was not read is its whole text.
   */
  rewrite(path: string, changes: readonly Rewriting[]): void;
  /** Forgets what was opened or read, so the host is asked again. */
  forget(path: string): void;
}

/** `read` is the host's way to a text; it gives undefined where there is none, and is asked of no path that is refused. */
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

/** The path that a file means by `reference`, which is relative to the file's own folder unless it is absolute. */
export function resolvePath(from: string, reference: string): string {
  // Several slashes are one, but at the beginning, where they can name another computer. Else one file would have as
  // many paths as somebody likes to write, and a circle of files no end.
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

/** How the file `from` names the file `path`, the way back of `resolvePath`: from its own folder, `./` first. */
export function referenceTo(path: string, from: string): string {
  const [steps, here] = [path.split('/'), from.split('/').slice(0, -1)];
  const parting = here.findIndex((step, i) => step !== steps[i]);
  // On another drive there is no way from the one to the other.
  if (parting === 0) return path;
  const common = parting < 0 ? here.length : parting;
  const up = here.slice(common).map(() => '..');
  return [...(up.length > 0 ? up : ['.']), ...steps.slice(common)].join('/');
}

export type FileKind = 'engine' | 'controller';

/** What a file is, by its name; undefined for files that are none of ours. */
export function fileKind(path: string): FileKind | undefined {
  if (path.endsWith('.engine.yaml')) return 'engine';
  return path.endsWith('.controller.yaml') ? 'controller' : undefined;
}
