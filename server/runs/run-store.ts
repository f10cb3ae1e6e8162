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

/** A run that is being read, with the stamps of its files. */
interface Reading {
  readonly path: string;
  readonly files: readonly string[];
  readonly stamps: string;
  readonly run: Promise<StoredRun>;
  /** Once it was read. */
  done: StoredRun | undefined;
}

/**
 * The run that the editor shows, read again only after one of its files has changed. A run of a million rows takes some fifty
 * megabytes, so only the last one is kept.
 */
class RunStore {
  #last: Reading | undefined;

  /** Rejects with a `UsageError` that says why the run cannot be read. */
  async get(path: string): Promise<StoredRun> {
    const known = this.#current(path);
    if (known) return known.run;
    const run = openRun(path, false);
    const files = [path, run.data, ...run.engine.files.map((file) => file.path)];
    const reading: Reading = { path, files, stamps: stampsOf(files), run: readAll(run), done: undefined };
    this.#last = reading;
    reading.done = await reading.run;
    return reading.done;
  }

  /** The run if it was read and none of its files has changed; nothing is read. */
  held(path: string): StoredRun | undefined {
    return this.#current(path)?.done;
  }

  #current(path: string): Reading | undefined {
    const last = this.#last;
    return last?.path === path && last.stamps === stampsOf(last.files) ? last : undefined;
  }
}

const stampsOf = (files: readonly string[]): string =>
  files.map((file) => stampOf(file) ?? 'missing').join('\n');

async function readAll(run: RunFile): Promise<StoredRun> {
  const rows = new RunRows();
  const { sums, course } = await readRun(run, rows);
  return { run, result: resultOf(sums), course, rows };
}

export const runStore = new RunStore();
