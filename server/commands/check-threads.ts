import { parentPort, Worker, workerData } from 'node:worker_threads';
import { type Checked, FileChecker } from './check-files.ts';
import { faultSentence } from './command.ts';

/** The same for every thread; each takes the next file that none has taken. */
interface Task {
  /** What the command names, which bounds what may be read. */
  readonly names: readonly string[];
  readonly paths: readonly string[];
  /** How many were taken, counted in memory that the threads share. */
  readonly taken: Int32Array;
}

type Result = readonly [index: number, checked: Checked | string];

/**
 * Checks files in this thread and further ones, which run `program`; gives what was found in the order of the paths.
 * Where a thread dies, the file that it was at has its sentence about that, and the others take the rest.
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

/** Takes files until there are none. */
function work({ names, paths, taken }: Task, give: (result: Result) => void) {
  const checker = new FileChecker(names);
  for (let next = Atomics.add(taken, 0, 1); next < paths.length; next = Atomics.add(taken, 0, 1)) {
    give([next, checker.check(paths[next]!)]);
  }
}

/** Starts a further thread; gives what it died of when it has ended, undefined where it did its work. */
function helper(program: string | URL, task: Task, keep: (result: Result) => void): Promise<unknown> {
  return new Promise((resolve) => {
    const worker = new Worker(program, { workerData: task });
    worker.on('message', keep);
    worker.on('error', resolve);
    worker.on('exit', (code) => resolve(code === 0 ? undefined : `a thread ended with the status ${code}`));
  });
}

/** What the program does as a further thread. */
export function help(): void {
  work(workerData as Task, (result) => parentPort!.postMessage(result));
}
