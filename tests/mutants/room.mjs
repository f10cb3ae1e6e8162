import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/** What to change: a folder of the physics or the checks, or one of its files. */
export const room = process.env.MUTANTS ?? 'shared/physics';

/** The id of a check in its definition. */
const ID = /\bid: '([a-z0-9-]+)'/g;

const checksIn = (path) => [...readFileSync(path, 'utf8').matchAll(ID)].map(([, id]) => id);

/**
 * For a file of checks, a pattern for the names of its own fixtures. Every check runs on every complete fixture, so a
 * change that only another check's fixture reveals is found by chance. A file that defines no check serves those of its
 * family, whose names begin with the same word. Undefined for all tests.
 */
export function ownFixtures() {
  if (!/^shared\/checks\/.*\.ts$/.test(room)) return undefined;
  const [family] = room.split(/[-.]/);
  const files = readdirSync('shared/checks').map((name) => join('shared/checks', name));
  const own = checksIn(room);
  const ids = own.length > 0 ? own : files.filter((path) => path.startsWith(`${family}-`)).flatMap(checksIn);
  return ids.length > 0 ? `^(${ids.join('|')}) ` : undefined;
}
