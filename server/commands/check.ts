import { type Analysis, analyse } from '../../shared/analysis.ts';
import type { Severity } from '../../shared/checks/check.ts';
import type { Project } from '../../shared/configuration/project.ts';
import { diskProject, findFiles } from '../files.ts';
import type { CheckReport } from '../formats/check-report.ts';
import { checkFormats } from '../formats/registry.ts';
import { formatOf } from './call.ts';
import { type Call, type Command, faultSentence, Refusal, type Status } from './command.ts';

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
  description: `Checks each file that is named, and below a folder every *.engine.yaml and
*.controller.yaml file. Folders named node_modules and .git are left out.

Exit status: 0 where no finding reaches the threshold, 1 where one does, 2 where something could not be
read; what could be read is checked all the same.`,
  run(call) {
    if (call.operands.length === 0) throw new Refusal('`check` needs a file or a folder.');
    const format = formatOf(call, checkFormats);
    const found = findFiles(call.operands);
    const problems = [...found.problems];
    const project = diskProject();
    const files = found.files.flatMap(({ name, path }) => {
      const analysis = analysed(project, path);
      if (typeof analysis !== 'string') return [{ name, analysis }];
      problems.push(`${name} was not checked: ${analysis}`);
      return [];
    });
    const report: CheckReport = { files };
    call.terminal.out(format.write(report, call.terminal));
    for (const problem of problems) call.terminal.err(`enginewright: ${problem}\n`);
    return problems.length > 0 ? 2 : statusOf(report, call);
  },
};

/** The analysis, or why there is none: a fault of the program in one file does not keep the others back. */
function analysed(project: Project, path: string): Analysis | string {
  try {
    return analyse(project, path) ?? 'it was there a moment ago and cannot be read any more.';
  } catch (error) {
    return faultSentence(error);
  }
}

function statusOf({ files }: CheckReport, call: Call): Status {
  const failing = THRESHOLDS[call.option('fail-on')!]!;
  return files.some(({ analysis }) => analysis.findings.some(({ severity }) => failing.includes(severity)))
    ? 1
    : 0;
}
