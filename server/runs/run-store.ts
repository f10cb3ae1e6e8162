import { type RunResult, resultOf } from '../../shared/runs/result.ts';
import { stampOf } from '../files.ts';
import { type Course, readRun } from './read-run.ts';
import { openRun, type RunFile } from './run-file.ts';
import { RunRows } from './run-rows.ts';

/** A run that was read, with every row of what is drawn. */
export interface StoredRun {
  readonly run: RunFile;
  readonly result: RunResult;
  readonly course: Course;
  readonly rows: RunRows;
}

/**
 * The runs that the editor shows, read again only after one of their files has changed. A run of a million rows takes some fifty
 * megabytes, so only the last one keeps its rows.
 */
class RunStore {
  #last: { readonly key: string; readonly run: Promise<StoredRun> } | undefined;

  /** Rejects with a `UsageError` that says why the run cannot be read. */
  async get(path: string): Promise<StoredRun> {
    const run = openRun(path, false);
    const files = [path, run.data, ...run.engine.files.map((file) => file.path)];
    const key = files.map((file) => `${file} ${stampOf(file)}`).join('\n');
    if (this.#last?.key === key) return this.#last.run;
    const reading = this.#read(run);
    this.#last = { key, run: reading };
    return reading;
  }

  async #read(run: RunFile): Promise<StoredRun> {
    const rows = new RunRows();
    const { sums, course } = await readRun(run, rows);
    return { run, result: resultOf(sums), course, rows };
  }
}

export const runStore = new RunStore();
