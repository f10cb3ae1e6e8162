import { analyse } from '../../shared/analysis.ts';
import type { Severity } from '../../shared/checks/check.ts';
import { diskProject, findFiles } from '../files.ts';
import type { CheckReport } from '../formats/check-report.ts';
import { checkFormats } from '../formats/registry.ts';
import { formatOf } from './call.ts';
import { type Call, type Command, Refusal, type Status } from './command.ts';

/** The severities at or above each threshold. */
const THRESHOLDS: Readonly<Record<string, readonly Severity[]>> = {
  error: ['error'],
  warning: ['error', 'warning'],
};

export const check: Command = {
  options: {
    format: { choices: checkFormats.map(({ name }) => name), meaning: 'how to print the findings' },
    'fail-on': {
      choices: Object.keys(THRESHOLDS),
      meaning: 'the least severity that makes the exit status 1',
    },
  },
  description: `Checks each file that is named, and below a folder every *.engine.yaml and *.controller.yaml file.
Folders named node_modules and .git are left out.

Exit status: 0 where no finding reaches the threshold, 1 where one does, 2 where something could not be
read; what could be read is checked all the same.`,
  run(call) {
    if (call.operands.length === 0) throw new Refusal('`check` needs a file or a folder.');
    const format = formatOf(call, checkFormats);
    const { files, problems } = findFiles(call.operands);
    const project = diskProject();
    const checked = files.map(({ name, path }) => {
      const analysis = analyse(project, path);
      if (!analysis) throw new Refusal(`${name} was there a moment ago and cannot be read any more.`);
      return { name, analysis };
    });
    const report: CheckReport = { files: checked };
    if (files.length > 0) call.terminal.out(format.write(report, call.terminal));
    for (const problem of problems) call.terminal.err(`enginewright: ${problem}\n`);
    return problems.length > 0 ? 2 : statusOf(report, call);
  },
};

function statusOf({ files }: CheckReport, call: Call): Status {
  const failing = THRESHOLDS[call.option('fail-on')!]!;
  return files.some(({ analysis }) => analysis.findings.some(({ severity }) => failing.includes(severity)))
    ? 1
    : 0;
}
