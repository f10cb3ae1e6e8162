import type { Finding } from '../../shared/checks/finding.ts';
import { counted } from '../../shared/counted.ts';
import { busReport } from '../formats/bus-report.ts';

import { busFormats } from '../formats/registry.ts';
import { formatOf } from './call.ts';
import { type Command, type Status, UsageError } from './command.ts';
import { engineAnalysis } from './engine-file.ts';

export const bus: Command = {
  options: {
    format: { choices: busFormats.map(({ name }) => name), meaning: 'output format' },
  },
  description: `Prints the CAN messages that an engine file defines. dbc is the CAN database format, which displays and
recorders can import; json gives times in seconds and the bit rate in bit/s.

If the bus section has errors or is incomplete, nothing is printed, because a wrong list gives wrong readings.
\`enginewright check\` shows what is wrong.

Exit status: 0 if the messages were printed, 2 otherwise.`,
  async run(call): Promise<Status> {
    const [name, ...more] = call.operands;
    if (name === undefined || more.length > 0) throw new UsageError('`bus` takes one engine file.');
    const format = await formatOf(call, busFormats);
    const { derivation, findings } = engineAnalysis(name, 'bus');
    const report = busReport(name, derivation);
    const errors = findings.filter(isErrorOfBus).length;
    const see = `Run \`enginewright check ${name}\`.`;
    if (errors > 0)
      throw new UsageError(`The bus section of ${name} has ${counted(errors, 'error')}. ${see}`);
    if (report.incomplete.length > 0) {
      const parts = report.incomplete.map((part) => `\`${part}\``).join(', ');
      throw new UsageError(`The bus section of ${name} is incomplete: ${parts}. ${see}`);
    }
    if (report.messages.length === 0) throw new UsageError(`${name} defines no bus messages.`);
    call.terminal.out(format.write(report, call.terminal));
    return 0;
  },
};

/** Faults anywhere in the file that may hide a part of the bus section. */
const OF_THE_WHOLE = new Set([
  'syntax-error',
  'merge-conflict',
  'text-not-utf-8',
  'tab-indentation',
  'duplicate-key',
  'overlay-file-missing',
  'overlay-cycle',
]);

function isErrorOfBus({ severity, rule, path }: Finding): boolean {
  const isOfBus = rule.startsWith('bus-') || path === 'bus' || path.startsWith('bus.');
  return severity === 'error' && (isOfBus || OF_THE_WHOLE.has(rule));
}
