import { existsSync, statSync } from 'node:fs';
import { matches } from '../../shared/storage/verify.ts';
import { verifyJson, verifyText } from '../formats/verify-report.ts';
import { engineAt, verification } from '../verification.ts';
import { deadline, secondsOf } from './call.ts';
import { type Command, type Status, UsageError } from './command.ts';

export const verify: Command = {
  options: {
    format: { choices: ['text', 'json'], meaning: 'output format' },
    time: {
      value: 'SECONDS',
      meaning: 'time limit for comparing the bounds of the engine; 0 compares none (default: 30 s)',
    },
  },
  description: `Shows whether an image holds what an engine file says. IMAGE is a file of Intel HEX, S-records or bytes, for example
read back from the controller. FILE may be \`REV:PATH\`, an engine file at a git revision.

Every value is compared, then every checksum, then every other byte. Where values differ, the output shows what the difference does
to the engine, as \`compare\` does.

DIR is a folder that \`release\` made: every file is compared with the manifest, and the image with the engine file in it.

Exit status: 0 if they match, 1 if they differ, 2 if something could not be read.`,
  async run(call): Promise<Status> {
    const { operands, terminal } = call;
    const [image, name, ...more] = operands;
    if (image === undefined || more.length > 0)
      throw new UsageError('`verify` takes an image and an engine file, or the folder of a release.');
    const isJson = call.option('format') === 'json';
    if (name === undefined) {
      if (!existsSync(image) || !statSync(image).isDirectory())
        throw new UsageError(`\`verify\` needs an engine file to compare ${image} with.`);
      const { checkRelease } = await import('../release/check-release.ts');
      const checked = checkRelease(image);
      terminal.out(isJson ? checked.json : checked.text);
      return checked.status;
    }
    const hasTime = deadline(secondsOf(call, '30 s'));
    const found = verification(image, name, engineAt(name), hasTime);
    terminal.out(isJson ? verifyJson(found) : verifyText(found, terminal));
    return matches(found.differences) ? 0 : 1;
  },
};
