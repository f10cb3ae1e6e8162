import { parentPort, Worker, workerData } from 'node:worker_threads';
import { type Checked, FileChecker } from './check-files.ts';
import { faultSentence } from './command.ts';

/** Shared by all threads; each takes the next free file. */
interface Task {
  /** The operands of the command, which limit what may be read. */
  readonly names: readonly string[];
  readonly paths: readonly string[];
  /** The number of files taken so far, in shared memory. */
  readonly taken: Int32Array;
}

type Result = readonly [index: number, checked: Checked | string];

/**
 * Checks files in this thread and in others, which run `program`; returns the results in the order of the paths. If a
 * thread dies, its current file gets the reason, and the other threads take the remaining files.
 */
export async function checkInThreads(
  names: readonly string[],
  paths: readonly string[],
  threads: number,
  program: string | URL,
): Promise<(Checked | string)[]> {
  const task: Task = { names, paths, taken: new Int32Array(new SharedArrayBuffer(4)) };
  const results = new Map<number, Checked | string>();
  const keep = ([index, checked]: Result) => results.set(index, checked);
  const helpers = Array.from({ length: threads - 1 }, () => helper(program, task, keep));
  work(task, keep);
  const deaths = (await Promise.all(helpers)).filter((death) => death !== undefined);
  return paths.map((_, index) => results.get(index) ?? faultSentence(deaths[0]));
}

/** Takes files until none is left. */
function work({ names, paths, taken }: Task, give: (result: Result) => void) {
  const checker = new FileChecker(names);
  for (let next = Atomics.add(taken, 0, 1); next < paths.length; next = Atomics.add(taken, 0, 1)) {
    give([next, checker.check(paths[next]!)]);
  }
}

/** Starts a thread; resolves when it has ended, with the reason if it failed. */
function helper(program: string | URL, task: Task, keep: (result: Result) => void): Promise<unknown> {
  return new Promise((resolve) => {
    const worker = new Worker(program, { workerData: task });
    worker.on('message', keep);
    worker.on('error', resolve);
    worker.on('exit', (code) => resolve(code === 0 ? undefined : `a thread ended with exit code ${code}`));
  });
}

/** The entry point of a thread. */
export function help(): void {
  work(workerData as Task, (result) => parentPort!.postMessage(result));
}
