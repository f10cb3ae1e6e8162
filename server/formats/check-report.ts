import type { Analysis } from '../../shared/analysis.ts';
import type { Severity } from '../../shared/checks/check.ts';
import type { Finding, Place } from '../../shared/checks/finding.ts';
import type { Position } from '../../shared/source/lines.ts';
import type { SourceFile } from '../../shared/source/source-file.ts';
import { readablePath } from '../files.ts';

/** The parts of a file that a report needs, without its tree and derived values. */
export type ShownFile = Pick<SourceFile, 'path' | 'text' | 'lines'>;

export interface CheckedFile {
  /** As the user named it, or as found in a folder. */
  readonly name: string;
  readonly analysis: Pick<Analysis, 'findings' | 'accepted'> & {
    readonly file: ShownFile;
    readonly files: readonly ShownFile[];
  };
  /** Findings that the baseline lists, which `analysis` does not contain; absent without a baseline. */
  readonly known?: readonly Finding[];
}

/** The result of `check`, file by file; every format prints this. */
export interface CheckReport {
  readonly files: readonly CheckedFile[];
  /** The severities that fail the run; errors if absent. */
  readonly failing?: readonly Severity[];
  /** A sentence per file or folder that could not be read. The command also prints them on the error output. */
  readonly problems?: readonly string[];
}

export function fails({ failing = ['error'] }: CheckReport, { severity }: Finding): boolean {
  return failing.includes(severity);
}

/** A place for people and programs: the file's name, and lines and columns from 0. */
export interface LocatedPlace {
  readonly name: string;
  readonly file: ShownFile;
  readonly range: { readonly start: Position; readonly end: Position };
}

/** The place of a finding or of a related message. */
export function locate({ name, analysis }: CheckedFile, place: Place): LocatedPlace {
  const file = analysis.files.find((one) => one.path === place.file) ?? analysis.file;
  const range = { start: file.lines.position(place.start), end: file.lines.position(place.end) };
  return { name: file === analysis.file ? name : readablePath(file.path), file, range };
}
