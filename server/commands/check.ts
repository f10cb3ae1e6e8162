import { type Analysis, analyse } from '../../shared/analysis.ts';
import type { Severity } from '../../shared/checks/check.ts';
import type { Project } from '../../shared/configuration/project.ts';
import type { SourceFile } from '../../shared/source/source-file.ts';
import { applyBaseline, type Baseline, baselineOf, baselineOrRefuse, baselineText } from '../baseline.ts';
import { diskProject, findFiles } from '../files.ts';
import { type CheckedFile, type CheckReport, fails, type ShownFile } from '../formats/check-report.ts';
import { counted } from '../formats/layout.ts';
import { checkFormats } from '../formats/registry.ts';
import { writeWhole } from '../whole-file.ts';
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
    baseline: { value: 'FILE', meaning: 'let the findings pass that this file lists' },
    'write-baseline': {
      value: 'FILE',
      meaning: 'list the findings in this file, so that they pass from now on',
    },
  },
  description: `Checks each file that is named, and below a folder every *.engine.yaml and
*.controller.yaml file. Folders named node_modules and .git are left out.

A baseline holds the findings of today, so that a gate asks only about those of tomorrow. Lines may move; a
finding whose value was changed is a new one. Keep the file under version control, beside the engine files.

Exit status: 0 where no finding reaches the threshold, 1 where one does, 2 where something could not be
read; what could be read is checked all the same.`,
  run(call) {
    if (call.operands.length === 0) throw new Refusal('`check` needs a file or a folder.');
    const format = formatOf(call, checkFormats);
    const found = findFiles(call.operands);
    const problems = [...found.problems];
    const project = diskProject(call.operands);
    const files = found.files.flatMap(({ name, path }) => {
      const analysis = analysed(project, path);
      if (typeof analysis !== 'string') return [{ name, analysis }];
      problems.push(`${name} was not checked: ${analysis}`);
      return [];
    });
    const failing = THRESHOLDS[call.option('fail-on')!]!;
    const baseline = baselineFor(call, files, problems);
    const report: CheckReport = { files: withBaseline(baseline, files, call), failing, problems };
    call.terminal.out(format.write(report, call.terminal));
    for (const problem of problems) call.terminal.err(`enginewright: ${problem}\n`);
    return problems.length > 0 ? 2 : statusOf(report);
  },
};

/** The baseline that the call names, written anew where it asks for that. */
function baselineFor(
  call: Call,
  files: readonly CheckedFile[],
  problems: readonly string[],
): Baseline | undefined {
  const [name, newName] = [call.option('baseline'), call.option('write-baseline')];
  if (newName === undefined) return name === undefined ? undefined : baselineOrRefuse(name);
  if (name !== undefined) throw new Refusal('`--baseline` and `--write-baseline` do not go together.');
  if (problems.length > 0) {
    throw new Refusal(`${problems.join(' ')} So ${newName} would not be whole and was not written.`);
  }
  const baseline = baselineOf(newName, files);
  const refusal = writeWhole(newName, baselineText(baseline));
  if (refusal) throw new Refusal(refusal);
  call.terminal.err(`enginewright: ${counted(baseline.entries.length, 'finding')} written to ${newName}.\n`);
  return baseline;
}

function withBaseline(
  baseline: Baseline | undefined,
  files: readonly CheckedFile[],
  { terminal }: Call,
): readonly CheckedFile[] {
  if (!baseline) return files;
  const applied = applyBaseline(baseline, files);
  const known = applied.files.reduce((sum, one) => sum + (one.known?.length ?? 0), 0);
  const gone = applied.gone.length;
  if (known > 0) terminal.err(`enginewright: ${baseline.name} lets ${counted(known, 'finding')} pass.\n`);
  if (gone > 0) {
    const what = `${baseline.name} lists ${counted(gone, 'finding')} no longer there`;
    terminal.err(`enginewright: ${what}; write it anew with \`--write-baseline\`.\n`);
  }
  return applied.files;
}

/** What a report shows, or why there is nothing: a fault of the program in one file does not keep the others back. */
function analysed(project: Project, path: string): CheckedFile['analysis'] | string {
  try {
    const analysis = analyse(project, path);
    if (analysis) return shown(analysis);
    return `${project.refusal(path) ?? 'it was there a moment ago and cannot be read any more'}.`;
  } catch (error) {
    return faultSentence(error);
  } finally {
    // A thousand trees, and all that was derived from them, would fill the memory.
    project.forget(path);
  }
}

function shown({ file, files, findings, accepted }: Analysis): CheckedFile['analysis'] {
  const shownFile = ({ path, text, lines }: SourceFile): ShownFile => ({ path, text, lines });
  const own = shownFile(file);
  return { file: own, files: files.map((one) => (one === file ? own : shownFile(one))), findings, accepted };
}

function statusOf(report: CheckReport): Status {
  const failed = report.files.some(({ analysis }) => analysis.findings.some((one) => fails(report, one)));
  return failed ? 1 : 0;
}
