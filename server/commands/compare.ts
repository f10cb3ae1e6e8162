import type { Severity } from '../../shared/checks/check.ts';
import { sumOf, worstFirst } from '../../shared/compare/verdict.ts';
import { counted } from '../../shared/counted.ts';
import { type Baseline, baselineOrRefuse } from '../baseline.ts';
import { failsGate, fileName, fileTally } from '../formats/compare-report.ts';
import { compareFormats } from '../formats/registry.ts';
import { sidesOf } from '../sides.ts';
import { deadline, formatOf, secondsOf } from './call.ts';
import type { Call, Command, Status } from './command.ts';
import { FileComparer } from './compare-files.ts';

export const compare: Command = {
  options: {
    format: { choices: compareFormats.map(({ name }) => name), meaning: 'output format' },
    'fail-on': {
      choices: ['error', 'warning'],
      meaning:
        'exit with 1 if a new finding, or a single fault made worse, has this severity or a higher one',
    },
    all: { meaning: 'list every changed value, not only those that matter most' },
    baseline: { value: 'FILE', meaning: 'ignore the findings listed in this file' },
    time: {
      value: 'SECONDS',
      meaning:
        'time after which the bounds of further files are not compared; 0 compares none (default: 30 s)',
    },
  },
  description: `Shows what changed (values, maps, wires, signals, protection), which derived values changed and their
margins to limits, how far the bounds over all states of the envelope moved (see \`prove\`), which single faults became worse or are no longer noticed
(see \`faults\`), and which findings are new, no longer reported or newly accepted. Comments, layout and the unit
of an equal value are ignored.

OLD and NEW are two files or two folders; REV:PATH is a file or folder at a git revision. REV..REV compares two
revisions, REV...REV compares the second one with the merge base of the two; paths after it limit the comparison to
these files and the engine files that depend on them. REV alone is compared with the working tree. Nothing is checked out. If engine files are compared, so are the controller files that they name.

sarif, junit and github list new findings, reduced margins and single faults made worse, for automation. A baseline is a file written by
\`check --write-baseline\`.

Exit status: 1 if a new finding reaches the --fail-on severity, or a value or bound is newly or further beyond its
limit and the file does not accept that; a single fault made worse, and a bound newly beyond its limit only with a part
failed, count as warnings; 2 if something could not be read; otherwise 0.`,
  async run(call): Promise<Status> {
    const format = await formatOf(call, compareFormats);
    const hasTime = deadline(secondsOf(call, '30 s'));
    const sides = sidesOf(call.operands);
    const baseline = baselineOf(call);
    const printing = {
      paper: call.terminal,
      threshold: call.option('fail-on') as Severity,
      all: call.option('all') !== undefined,
    };
    const comparer = new FileComparer(sides, baseline, hasTime, (file) => ({
      name: fileName(file),
      part: format.part(file, printing),
      tally: fileTally(file),
      sameAs: file.sameAs,
      isFailing: file.comparison.consequences.some((one) => failsGate(printing, one)),
    }));
    const made = comparer.all();
    const { problems, compared, known } = comparer;
    if (baseline && known > 0) {
      call.terminal.err(
        `enginewright: ${counted(known, 'new finding')} ignored (listed in ${baseline.name}).\n`,
      );
    }
    for (const problem of problems) call.terminal.err(`enginewright: ${problem}\n`);
    if (problems.length > 0) return 2;
    const whole = sumOf(made.map(({ tally }) => tally));
    const files = worstFirst(made);
    const report = { old: sides.old.name, new: sides.new.name, files, whole, compared };
    call.terminal.out(format.write(report, call.terminal));
    return made.some(({ isFailing }) => isFailing) ? 1 : 0;
  },
};

function baselineOf(call: Call): Baseline | undefined {
  const name = call.option('baseline');
  return name === undefined ? undefined : baselineOrRefuse(name);
}
