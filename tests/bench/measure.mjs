// Timing, medians, and tables of results.
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** How long `work` takes, in ms. */
export async function timed(work) {
  const from = performance.now();
  await work();
  return performance.now() - from;
}

/** The median time of several runs; `work` gets the number of the run. */
export async function medianOf(runs, work) {
  const times = [];
  for (let run = 0; run < runs; run++) times.push(await timed(() => work(run)));
  return median(times);
}

export function median(numbers) {
  const sorted = [...numbers].sort((a, b) => a - b);
  const middle = (sorted.length - 1) / 2;
  return (sorted[Math.floor(middle)] + sorted[Math.ceil(middle)]) / 2;
}

/** The median time of a process from start to end. An unexpected exit status is an error. */
export function processTime(runs, args, statuses = [0]) {
  return medianOf(runs, () => {
    const { status, stderr } = spawnSync(process.execPath, args, {
      encoding: 'utf8',
      maxBuffer: 1e9,
    });
    if (!statuses.includes(status)) throw new Error(`${args.join(' ')} ended with ${status}: ${stderr}`);
  });
}

/** The median processor time of a program, which other load on the machine hardly affects. */
export function processorTime(runs, args, statuses = [0]) {
  const hook = fileURLToPath(new URL('cpu-time.cjs', import.meta.url));
  const times = Array.from({ length: runs }, () => {
    const { status, stderr } = spawnSync(process.execPath, ['--require', hook, ...args], {
      encoding: 'utf8',
      maxBuffer: 1e9,
    });
    if (!statuses.includes(status)) throw new Error(`${args.join(' ')} ended with ${status}: ${stderr}`);
    return Number(stderr.trimEnd().split('\n').at(-1));
  });
  return median(times);
}

/** On a busy machine, times have no more than three significant digits. */
export const number = (value) =>
  value === undefined ? '–' : value >= 100 ? String(Math.round(value)) : value.toPrecision(2);

/** A Markdown table with aligned columns, so that it is also readable on a terminal. */
export function table(head, rows) {
  const widths = head.map((_, column) => Math.max(...[head, ...rows].map((row) => row[column].length), 3));
  const line = (cells) =>
    `| ${cells.map((cell, i) => (i ? cell.padStart(widths[i]) : cell.padEnd(widths[i]))).join(' | ')} |`;
  const rule = `| ${widths.map((width, i) => (i ? `${'-'.repeat(width - 1)}:` : '-'.repeat(width))).join(' | ')} |`;
  return [line(head), rule, ...rows.map(line)].join('\n');
}
