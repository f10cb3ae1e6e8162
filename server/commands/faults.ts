import type { EngineSubject } from '../../shared/checks/check.ts';
import { fileKind } from '../../shared/configuration/project.ts';
import { faultBounds, faultTableOver } from '../../shared/faults/envelope.ts';
import { SEVERITIES } from '../../shared/faults/severity.ts';
import { faultTable } from '../../shared/faults/table.ts';
import { fullProofOf } from '../../shared/limits/verdict.ts';
import { findFiles } from '../files.ts';
import type { FaultsReport } from '../formats/faults-report.ts';
import { faultsFormats } from '../formats/registry.ts';
import { formatOf } from './call.ts';
import { type Command, type Status, UsageError } from './command.ts';
import { engineAnalysis } from './engine-file.ts';
import { proofOptions } from './prove.ts';

const MEANINGS = Object.entries(SEVERITIES).map(([word, meaning]) => `- ${word}: ${meaning}`);

export const faults: Command = {
  options: {
    over: {
      choices: ['points', 'envelope'],
      meaning:
        'where effects are calculated; envelope also searches bounds over all states, which takes seconds',
    },
    time: {
      value: 'SECONDS',
      meaning:
        'time limit of that search for each file; bounds not settled by then stay open (default: 10 s)',
    },
    format: { choices: faultsFormats.map(({ name }) => name), meaning: 'output format' },
  },
  description: `Prints the fault table of engine files: one row for each single fault of a sensor, switch, output, wire, fuse,
connector, supply, bus and controller. Each row gives the values that the fault changes at every operating point, what no
longer works, which lights show the fault, and its severity:

${MEANINGS.join('\n\n')}

With \`--over envelope\` the rows of sensors from which fuel and spark are computed also have the bounds of what they change,
the same that \`prove\` gives with that sensor failed, however it fails. A limit that is broken then, and not without the fault, makes the severity
\`damages\`.

Values are computed without correction by the closed loops. What does not follow from the file can be stated in its
section \`faults\`.

Exit status: 0 if the table was printed, 2 if a file could not be read.`,
  async run(call): Promise<Status> {
    if (call.operands.length === 0) throw new UsageError('`faults` needs at least one engine file.');
    const format = await formatOf(call, faultsFormats);
    const found = findFiles(call.operands);
    const engines = found.files.filter(({ path }) => fileKind(path) === 'engine');
    if (engines.length === 0 && found.problems.length === 0)
      throw new UsageError(
        '`faults` needs an engine file (*.engine.yaml); the named files and folders contain none.',
      );
    const options = call.option('over') === 'envelope' ? proofOptions(call) : undefined;
    const files = engines.map(({ name }) => {
      const subject = engineAnalysis(name, 'faults').subject as EngineSubject;
      if (!options) return { name, rows: faultTable(subject) };
      const proof = fullProofOf(subject, options());
      return { name, rows: faultTableOver(subject, proof, faultBounds(proof, subject)) };
    });
    call.terminal.out(format.write({ files } satisfies FaultsReport, call.terminal));
    for (const problem of found.problems) call.terminal.err(`enginewright: ${problem}\n`);
    return found.problems.length > 0 ? 2 : 0;
  },
};
