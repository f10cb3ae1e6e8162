import type { Change, RunResult } from '../../shared/runs/result.ts';
import type { Course } from '../runs/read-run.ts';

/** Runs of one engine, and what changed from others. */
export interface RunsReport {
  readonly runs: readonly NamedRun[];
  /** The runs that they are compared with; empty without `--against`. */
  readonly against: readonly NamedRun[];
  readonly change: Change | undefined;
}

export interface NamedRun {
  readonly name: string;
  readonly title: string;
  readonly result: RunResult;
  /** Undefined for merged runs. */
  readonly course?: Course;
}
