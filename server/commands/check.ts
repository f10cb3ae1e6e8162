import { availableParallelism } from 'node:os';
import type { Severity } from '../../shared/checks/check.ts';
import { LineIndex } from '../../shared/source/lines.ts';
import { findFiles, type NamedFile } from '../files.ts';
import { type CheckedFile, type CheckReport, fails, type ShownFile } from '../formats/check-report.ts';
import { checkFormats } from '../formats/registry.ts';
import { formatOf } from './call.ts';
import { type Checked, FileChecker } from './check-files.ts';
import { checkInThreads } from './check-threads.ts';
import { type Call, type Command, Refusal, type Status } from './command.ts';

/** The severities at or above each threshold. */
const THRESHOLDS: Readonly<Record<string, readonly Severity[]>> = {
  error: ['error'],
  warning: ['error', 'warning'],
};

/** Measured: to load the program once more and to get up to speed costs a thread the time of some ten files. */
const FILES_A_THREAD = 12;

export const check: Command = {
  options: {
    format: { choices: checkFormats.map(({ name }) => name), meaning: 'how to print the findings' },
    'fail-on': {
      choices: Object.keys(THRESHOLDS),
      meaning: 'the least severity that makes the exit status 1',
    },
    baseline: { value: 'FILE', meaning: 'let the findings pass that this file lists' },
    'write-baseline': {
      value: 'FILE',
      meaning: 'list the findings in this file, so that they pass from now on',
    },
    threads: {
      value: 'NUMBER',
      meaning: 'how many threads share the files; unasked one a core, where it pays',
    },
  },
  description: `Checks each file that is named, and below a folder every *.engine.yaml and
*.controller.yaml file. Folders named node_modules and .git are left out.

A baseline holds the findings of today, so that a gate asks only about those of tomorrow. Lines may move; a
finding whose value was changed is a new one. Keep the file under version control, beside the engine files.

Exit status: 0 where no finding reaches the threshold, 1 where one does, 2 where something could not be
read; what could be read is checked all the same.`,
  async run(call) {
    if (call.operands.length === 0) throw new Refusal('`check` needs a file or a folder.');
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

/** As many as the call asks for, else as the machine has and are worth their start. */
function threadsFor(call: Call, files: number): number {
  const wanted = call.option('threads');
  if (wanted === undefined) return Math.min(availableParallelism(), Math.ceil(files / FILES_A_THREAD));
  if (/^[1-9]\d?$/.test(wanted)) return Math.min(Number(wanted), files);
  throw new Refusal(`\`--threads\` cannot be \`${wanted}\`; it is a whole number from 1 to 99.`);
}

/** What was found in each file, or why there is nothing, in the order of the files. */
async function checkAll(call: Call, files: readonly NamedFile[]): Promise<(Checked | string)[]> {
  const paths = files.map(({ path }) => path);
  const threads = threadsFor(call, files.length);
  if (threads > 1 && call.program !== undefined)
    return checkInThreads(call.operands, paths, threads, call.program);
  const checker = new FileChecker(call.operands);
  return paths.map((path) => checker.check(path));
}

/** Makes of the texts what a report shows; a text that many files share is kept once. */
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

/** The files with what a baseline lets pass set apart, where the call names one. */
async function passed(call: Call, files: readonly CheckedFile[], problems: readonly string[]) {
  if (call.option('baseline') === undefined && call.option('write-baseline') === undefined) return files;
  const { passBaseline } = await import('./check-baseline.ts');
  return passBaseline(call, files, problems);
}

function statusOf(report: CheckReport): Status {
  const failed = report.files.some(({ analysis }) => analysis.findings.some((one) => fails(report, one)));
  return failed ? 1 : 0;
}
