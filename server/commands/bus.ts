import type { Finding } from '../../shared/checks/finding.ts';
import { counted } from '../../shared/counted.ts';
import { busReport } from '../formats/bus-report.ts';

import { busFormats } from '../formats/registry.ts';
import { formatOf } from './call.ts';
import { type Command, Refusal, type Status } from './command.ts';
import { engineAnalysis } from './engine-file.ts';

export const bus: Command = {
  options: {
    format: { choices: busFormats.map(({ name }) => name), meaning: 'how to print the messages' },
  },
  description: `Prints the messages that an engine file sends on its CAN bus. The format dbc is the CAN database file,
the open interchange form that makers of displays and recorders read; json gives times in seconds and the bit
rate in bit/s.

Exit status: 0 where the messages were printed, 2 where the bus section has an error or lacks what a receiver
needs: nothing is printed then, as a wrong list makes wrong readings. \`enginewright check\` names the fault.`,
  async run(call): Promise<Status> {
    const [name, ...more] = call.operands;
    if (name === undefined || more.length > 0) throw new Refusal('`bus` needs one engine file.');
    const format = await formatOf(call, busFormats);
    const { derivation, findings } = engineAnalysis(name, 'the bus stands in');
    const report = busReport(name, derivation);
    const errors = findings.filter(isErrorOfBus).length;
    const see = `\`enginewright check ${name}\` names what is wrong.`;
    if (errors > 0) throw new Refusal(`The bus of ${name} has ${counted(errors, 'error')}. ${see}`);
    if (report.incomplete.length > 0) {
      const parts = report.incomplete.map((part) => `\`${part}\``).join(', ');
      throw new Refusal(`The bus of ${name} is not complete: ${parts}. ${see}`);
    }
    if (report.messages.length === 0) throw new Refusal(`${name} has no messages on a bus.`);
    call.terminal.out(format.write(report, call.terminal));
    return 0;
  },
};

/** What may have swallowed a part of the bus, wherever in the file it stands. */
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
