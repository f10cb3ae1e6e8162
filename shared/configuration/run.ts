import type { RunConfiguration } from '../../generated/configuration.ts';
import type { SourceFile } from '../source/source-file.ts';
import { type Binding, bind } from './bind.ts';
import { runShape } from './schemas.ts';
import { type StructureFault, validate } from './validate.ts';

/** A run file by itself. */
export interface RunReading {
  readonly file: SourceFile;
  readonly configuration: RunConfiguration;
  readonly binding: Binding;
  readonly structure: readonly StructureFault[];
}

export function readRun(file: SourceFile): RunReading {
  const bound = bind(runShape, [file.root]);
  return {
    file,
    configuration: bound.value as RunConfiguration,
    binding: bound,
    structure: validate('run', file.root),
  };
}

/** The engine file that a run names: a path or, as `REV:PATH`, a file at a commit. */
export function splitRevision(reference: string): { readonly revision?: string; readonly path: string } {
  // One letter before a colon is a drive.
  const [, revision, path] = /^([^:/\\]{2,}):(.+)$/.exec(reference) ?? [];
  return revision === undefined || path === undefined ? { path: reference } : { revision, path };
}
