import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/** What is changed: a folder of the physics or the checks, or one file of it. */
export const room = process.env.MUTANTS ?? 'shared/physics';

/** A check's name, as its definition says it. */
const ID = /\bid: '([a-z0-9-]+)'/g;

const checksIn = (path) => [...readFileSync(path, 'utf8').matchAll(ID)].map(([, id]) => id);

/**
 * Of a file of checks the pattern of the names of its own fixtures: every check looks at every complete fixture, and
 * a change that only a foreign one notices is noticed by chance. A file that defines no check serves those of its family,
 * which share the first word of their names. Undefined where all tests are meant.
 */
export function ownFixtures() {
  if (!/^shared\/checks\/.*\.ts$/.test(room)) return undefined;
  const [family] = room.split(/[-.]/);
  const files = readdirSync('shared/checks').map((name) => join('shared/checks', name));
  const own = checksIn(room);
  const ids = own.length > 0 ? own : files.filter((path) => path.startsWith(`${family}-`)).flatMap(checksIn);
  return ids.length > 0 ? `^(${ids.join('|')}) ` : undefined;
}
