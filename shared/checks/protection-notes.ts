import { nodeOf } from '../configuration/values.ts';
import { singleFaults } from '../derived/single-faults.ts';
import { nearestWord } from '../quantity/index.ts';
import { keyOf } from '../source/source-file.ts';
import { type Check, engineCheck } from './check.ts';
import { quote, rewriting } from './form-words.ts';

export const faultNoteUnknown: Check = engineCheck({
  id: 'fault-note-unknown',
  severity: 'warning',
  title: 'Fault note for unknown part',
  page: {
    catches: 'A note under `faults` for a key path that has no row in the fault table.',
    why: 'Nobody reads the note, and the row that it is meant for lacks it.',
    example: 'faults:\n  sensors.knok: { effect: Listen for detonation and reduce power. }',
    remedy: 'Write the key path of the sensor, output, wire or connector as the fault table prints it.',
    basis: 'The rows of the fault table.',
  },
  *find({ installation }) {
    const { faults } = installation.configuration;
    if (!faults) return;
    const known = new Set(singleFaults(installation).map(({ of }) => of));
    for (const [path, note] of Object.entries(faults)) {
      if (known.has(path)) continue;
      const key = keyOf(nodeOf(note));
      if (!key) continue;
      const nearest = nearestWord(path, [...known]);
      yield {
        at: key,
        message: `The fault table has no row for ${quote(path)}.`,
        fixes: nearest === undefined ? [] : [rewriting(key, [0, key.text.length], nearest, 'choice')],
      };
    }
  },
});
