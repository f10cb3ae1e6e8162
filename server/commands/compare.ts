import type { Severity } from '../../shared/checks/check.ts';
import { sumOf, tallyOf } from '../../shared/compare/verdict.ts';
import { counted } from '../../shared/counted.ts';
import { type Baseline, baselineOrRefuse } from '../baseline.ts';
import { failsGate } from '../formats/compare-report.ts';

import { compareFormats } from '../formats/registry.ts';
import { sidesOf } from '../sides.ts';
import { formatOf } from './call.ts';
import type { Call, Command, Status } from './command.ts';
import { FileComparer } from './compare-files.ts';

export const compare: Command = {
  options: {
    format: { choices: compareFormats.map(({ name }) => name), meaning: 'how to print what changed' },
    'fail-on': {
      choices: ['error', 'warning'],
      meaning: 'the least severity of a new finding that makes the exit status 1',
    },
    baseline: { value: 'FILE', meaning: 'let the new findings pass that this file lists' },
  },
  description: `Says what a change does to the engine: which values, maps, wires, signals and protections are
otherwise, which derived values moved and how near their limits they came, and which findings are new, gone or
accepted. Comments, layout and the unit of an equal value make no difference.

OLD and NEW are two files or two folders; each may be REV:PATH, as it was at a git revision. REV..REV compares two
revisions, REV...REV the second with where it parted from the first; paths behind it are compared alone. Nothing is
checked out. With a file, the controller file that it names is compared as well.

SARIF, JUnit XML and GitHub annotations tell the new findings and the limits that came closer, for automation. A
baseline is one that \`check --write-baseline\` has written.

Exit status: 0 where no new finding reaches the threshold, 1 where one does, 2 where something could not be read.`,
  async run(call): Promise<Status> {
    const format = await formatOf(call, compareFormats);
    const sides = sidesOf(call.operands);
    const baseline = baselineOf(call);
    const printing = { paper: call.terminal, threshold: call.option('fail-on') as Severity };
    const comparer = new FileComparer(sides, baseline, (file) => ({
      part: format.part(file, printing),
      tally: tallyOf(file.comparison),
      isFailing: file.comparison.consequences.some(
        (one) => one.type === 'finding' && failsGate(printing, one),
      ),
    }));
    const made = comparer.all();
    const { problems, compared, known } = comparer;
    if (baseline && known > 0) {
      call.terminal.err(`enginewright: ${baseline.name} lets ${counted(known, 'new finding')} pass.\n`);
    }
    for (const problem of problems) call.terminal.err(`enginewright: ${problem}\n`);
    if (problems.length > 0) return 2;
    const whole = sumOf(made.map(({ tally }) => tally));
    const parts = made.map(({ part }) => part);
    const report = { old: sides.old.name, new: sides.new.name, parts, whole, compared };
    call.terminal.out(format.write(report, call.terminal));
    return made.some(({ isFailing }) => isFailing) ? 1 : 0;
  },
};

function baselineOf(call: Call): Baseline | undefined {
  const name = call.option('baseline');
  return name === undefined ? undefined : baselineOrRefuse(name);
}
