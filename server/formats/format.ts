import type { TextLayout } from '../terminal.ts';

/** An output format of a report. A new format is a file with such an object and its line in the registry. */
export interface Format<Report> {
  /** The whole output, ending with a line end. */
  write(report: Report, paper: TextLayout): string;
}

/** A format in the registry; the rest is loaded on use. */
export interface Listed<Loaded> {
  readonly name: string;
  load(): Promise<Loaded>;
}

export type ListedFormat<Report> = Listed<Format<Report>>;
