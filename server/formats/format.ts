import type { Paper } from '../terminal.ts';

/** One way to print a report. A new one is a file with such an object and its line in the registry. */
export interface Format<Report> {
  readonly name: string;
  /** The whole output, ending with a line end. */
  write(report: Report, paper: Paper): string;
}
