import { engineShape } from '../configuration/schemas.ts';
import type { Answers } from './answers.ts';
import { commentLines, explained } from './explained.ts';
import { outlineOf } from './outline.ts';

const OPENING = commentLines(
  'A new installation. No value below is invented: a value that you did not give is a placeholder, and each ' +
    'placeholder is a finding until you fill it in or delete its key. Usual ranges are common practice, no source. ' +
    'There is one injector output and one coil output per cylinder; where one output serves two cylinders, merge their outputs. ' +
    'Add the sections `inputs`, `map_sets`, `closed_loop`, `standby` and `bus` if you need them.',
);

/**
 * The text of a new engine file. Every key has a comment above it, the answers are filled in, and every other value is a
 * placeholder, which is a finding.
 */
export function newInstallation(answers: Answers): string {
  return `${OPENING.join('\n')}\n\n${explained(outlineOf(answers), engineShape)}`;
}
