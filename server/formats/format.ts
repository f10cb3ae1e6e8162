import type { Paper } from '../terminal.ts';

/** One way to print a report. A new one is a file with such an object and its line in the registry. */
export interface Format<Report> {
  /** The whole output, ending with a line end. */
  write(report: Report, paper: Paper): string;
}

/** A format as the registry knows it; the rest is loaded when it is asked for. */
export interface Listed<Loaded> {
  readonly name: string;
  load(): Promise<Loaded>;
}

export type ListedFormat<Report> = Listed<Format<Report>>;
