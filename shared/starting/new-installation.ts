import { engineShape } from '../configuration/schemas.ts';
import type { Answers } from './answers.ts';
import { commentLines, explained } from './explained.ts';
import { outlineOf } from './outline.ts';

const OPENING = commentLines(
  'A new installation. No value below is made up: what you did not state is a placeholder, and each placeholder ' +
    'is a finding until you fill it in or take its key out. Usual ranges are common practice, without a source. ' +
    'Outputs are written for one injector and one coil a cylinder; join them where one output serves two. ' +
    'Sections to add when you need them: inputs, map_sets, closed_loop, bus.',
);

/**
 * The text of an engine file to begin with. Every key is explained above it, what is known is filled in, and a
 * placeholder that raises a finding stands for everything else.
 */
export function newInstallation(answers: Answers): string {
  return `${OPENING.join('\n')}\n\n${explained(outlineOf(answers), engineShape)}`;
}
