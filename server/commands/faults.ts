import type { EngineSubject } from '../../shared/checks/check.ts';
import { fileKind } from '../../shared/configuration/project.ts';
import { SEVERITIES } from '../../shared/faults/severity.ts';
import { faultTable } from '../../shared/faults/table.ts';
import { findFiles } from '../files.ts';
import type { FaultsReport } from '../formats/faults-report.ts';
import { faultsFormats } from '../formats/registry.ts';
import { formatOf } from './call.ts';
import { type Command, type Status, UsageError } from './command.ts';
import { engineAnalysis } from './engine-file.ts';

const MEANINGS = Object.entries(SEVERITIES).map(([word, meaning]) => `- ${word}: ${meaning}`);

export const faults: Command = {
  options: {
    format: { choices: faultsFormats.map(({ name }) => name), meaning: 'output format' },
  },
  description: `Prints the fault table of engine files: one row for each single fault of a sensor, switch, output, wire, fuse,
connector, supply, bus and controller. Each row gives the values that the fault changes at every operating point, what no
longer works, which lights show the fault, and its severity:

${MEANINGS.join('\n\n')}

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
    const files = engines.map(({ name }) => ({
      name,
      rows: faultTable(engineAnalysis(name, 'faults').subject as EngineSubject),
    }));
    call.terminal.out(format.write({ files } satisfies FaultsReport, call.terminal));
    for (const problem of found.problems) call.terminal.err(`enginewright: ${problem}\n`);
    return found.problems.length > 0 ? 2 : 0;
  },
};
