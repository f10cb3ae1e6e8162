import type { RunConfiguration } from '../../generated/configuration.ts';
import type { SourceFile } from '../source/source-file.ts';
import { type Binding, bind, PLACEHOLDER } from './bind.ts';
import type { LinkFault } from './installation.ts';
import { fileKind, type Project, resolvePath } from './project.ts';
import { runShape } from './schemas.ts';
import { type StructureFault, validate } from './validate.ts';

/** A run file by itself. */
export interface RunReading {
  readonly file: SourceFile;
  readonly configuration: RunConfiguration;
  readonly binding: Binding;
  readonly structure: readonly StructureFault[];
  /** An engine file that cannot be used; one at a commit is not looked for. */
  readonly links: readonly LinkFault[];
}

export function readRun(project: Project, file: SourceFile): RunReading {
  const bound = bind(runShape, [file.root]);
  return {
    file,
    configuration: bound.value as RunConfiguration,
    binding: bound,
    structure: validate('run', file.root),
    links: linksOf(project, file),
  };
}

function linksOf(project: Project, { root, path: from }: SourceFile): LinkFault[] {
  const node = root.get('engine');
  if (node?.type !== 'scalar' || typeof node.value !== 'string' || node.text === PLACEHOLDER) return [];
  if (splitRevision(node.text).revision !== undefined) return [];
  const path = resolvePath(from, node.text);
  if (fileKind(path) === 'engine' && project.source(path)) return [];
  return [{ rule: 'run-engine-missing', node, paths: [path], refusal: project.refusal(path) }];
}

/** The engine file that a run names: a path or, as `REV:PATH`, a file at a commit. */
export function splitRevision(reference: string): { readonly revision?: string; readonly path: string } {
  // One letter before a colon is a drive.
  const [, revision, path] = /^([^:/\\]{2,}):(.+)$/.exec(reference) ?? [];
  return revision === undefined || path === undefined ? { path: reference } : { revision, path };
}
