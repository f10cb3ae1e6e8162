import { availableParallelism } from 'node:os';
import type { Severity } from '../../shared/checks/check.ts';
import { LineIndex } from '../../shared/source/lines.ts';
import { findFiles, type NamedFile } from '../files.ts';
import { type CheckedFile, type CheckReport, fails, type ShownFile } from '../formats/check-report.ts';
import { checkFormats } from '../formats/registry.ts';
import { formatOf } from './call.ts';
import { type Checked, FileChecker } from './check-files.ts';
import { checkInThreads } from './check-threads.ts';
import { type Call, type Command, type Status, UsageError } from './command.ts';

/** The severities at or above each threshold. */
const THRESHOLDS: Readonly<Record<string, readonly Severity[]>> = {
  error: ['error'],
  warning: ['error', 'warning'],
};

/** Measured: starting a thread takes as long as checking some ten files. */
const FILES_A_THREAD = 12;

export const check: Command = {
  options: {
    format: { choices: checkFormats.map(({ name }) => name), meaning: 'output format' },
    'fail-on': {
      choices: Object.keys(THRESHOLDS),
      meaning: 'exit with 1 if a finding has this severity or a higher one',
    },
    baseline: { value: 'FILE', meaning: 'ignore the findings listed in this file' },
    'write-baseline': {
      value: 'FILE',
      meaning: 'write all current findings to this file as a baseline',
    },
    threads: {
      value: 'NUMBER',
      meaning: 'number of threads (default: one per core if there are enough files)',
    },
  },
  description: `Checks the named files, and all *.engine.yaml, *.controller.yaml and *.run.yaml files in the named folders and
their subfolders, except node_modules and .git.

A baseline lists existing findings, so that only new ones are reported. A listed finding still
counts as listed when its line moves, but as new when the value at its place or a number in its message changes. Keep the baseline under version control beside the engine files.

Exit status: 0 if no finding reaches the --fail-on severity, 1 if one does, 2 if a file could not be read (all
others are still checked).`,
  async run(call) {
    if (call.operands.length === 0) throw new UsageError('`check` needs at least one file or folder.');
    const format = await formatOf(call, checkFormats);
    const found = findFiles(call.operands);
    const problems = [...found.problems];
    const checked = await checkAll(call, found.files);
    const texts = new Map<string, ShownFile>();
    const files = found.files.flatMap(({ name }, i) => {
      const one = checked[i]!;
      if (typeof one !== 'string') return [{ name, analysis: shownIn(texts, one) }];
      problems.push(`${name} was not checked: ${one}`);
      return [];
    });
    const failing = THRESHOLDS[call.option('fail-on')!]!;
    const report: CheckReport = { files: await passed(call, files, problems), failing, problems };
    call.terminal.out(format.write(report, call.terminal));
    for (const problem of problems) call.terminal.err(`enginewright: ${problem}\n`);
    return problems.length > 0 ? 2 : statusOf(report);
  },
};

/** The number that the call gives; otherwise the number of cores, if there are enough files. */
function threadsFor(call: Call, files: number): number {
  const wanted = call.option('threads');
  if (wanted === undefined) return Math.min(availableParallelism(), Math.ceil(files / FILES_A_THREAD));
  if (/^[1-9]\d?$/.test(wanted)) return Math.min(Number(wanted), files);
  throw new UsageError(`\`--threads\` cannot be \`${wanted}\`; use a whole number from 1 to 99.`);
}

/** The findings of each file, or why there are none, in the order of the files. */
async function checkAll(call: Call, files: readonly NamedFile[]): Promise<(Checked | string)[]> {
  const paths = files.map(({ path }) => path);
  const threads = threadsFor(call, files.length);
  if (threads > 1 && call.program !== undefined)
    return checkInThreads(call.operands, paths, threads, call.program);
  const checker = new FileChecker(call.operands);
  return paths.map((path) => checker.check(path));
}

/** Prepares the texts for a report; a text shared by several files is kept once. */
function shownIn(
  known: Map<string, ShownFile>,
  { files, findings, accepted }: Checked,
): CheckedFile['analysis'] {
  const shown = files.map(({ path, text }) => {
    const earlier = known.get(path);
    if (earlier?.text === text) return earlier;
    const fresh = { path, text, lines: new LineIndex(text) };
    known.set(path, fresh);
    return fresh;
  });
  return { file: shown[0]!, files: shown, findings, accepted };
}

/** The files; if the call names a baseline, the findings in it are listed separately. */
async function passed(call: Call, files: readonly CheckedFile[], problems: readonly string[]) {
  if (call.option('baseline') === undefined && call.option('write-baseline') === undefined) return files;
  const { passBaseline } = await import('./check-baseline.ts');
  return passBaseline(call, files, problems);
}

function statusOf(report: CheckReport): Status {
  const failed = report.files.some(({ analysis }) => analysis.findings.some((one) => fails(report, one)));
  return failed ? 1 : 0;
}
