import type { Analysis } from '../../shared/analysis.ts';
import type { Severity } from '../../shared/checks/check.ts';
import type { Finding, Place } from '../../shared/checks/finding.ts';
import type { Position } from '../../shared/source/lines.ts';
import type { SourceFile } from '../../shared/source/source-file.ts';
import { readablePath } from '../files.ts';

/** A file as far as a report shows it: its tree, and what was derived from it, need not be kept for that. */
export type ShownFile = Pick<SourceFile, 'path' | 'text' | 'lines'>;

export interface CheckedFile {
  /** As the user named it, or as it was met below a folder. */
  readonly name: string;
  readonly analysis: Pick<Analysis, 'findings' | 'accepted'> & {
    readonly file: ShownFile;
    readonly files: readonly ShownFile[];
  };
  /**
   * Findings that the baseline lets pass, and that `analysis` therefore does not hold; absent without a
   * baseline.
   */
  readonly known?: readonly Finding[];
}

/** What `check` found, file by file; every format prints this. */
export interface CheckReport {
  readonly files: readonly CheckedFile[];
  /** The severities that fail the run; absent, errors. */
  readonly failing?: readonly Severity[];
  /**
   * A sentence for each file or folder that could not be read. The command prints them on the error output
   * too.
   */
  readonly problems?: readonly string[];
}

export function fails({ failing = ['error'] }: CheckReport, { severity }: Finding): boolean {
  return failing.includes(severity);
}

/** A place in words that a person and a program can find: the file's name, and lines and columns from 0. */
export interface LocatedPlace {
  readonly name: string;
  readonly file: ShownFile;
  readonly range: { readonly start: Position; readonly end: Position };
}

/** Where a finding, or a place related to one, stands. */
export function locate({ name, analysis }: CheckedFile, place: Place): LocatedPlace {
  const file = analysis.files.find((one) => one.path === place.file) ?? analysis.file;
  const range = { start: file.lines.position(place.start), end: file.lines.position(place.end) };
  return { name: file === analysis.file ? name : readablePath(file.path), file, range };
}
