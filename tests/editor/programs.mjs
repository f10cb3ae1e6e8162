// Finds programs of the machine that tests need, and installs them where that takes no asking.
import { execFileSync } from 'node:child_process';
import { accessSync, constants } from 'node:fs';
import { delimiter, join } from 'node:path';

/**
 * The path of the first of these programs that the search path holds, undefined where it holds none.
 * @param {string[]} programs
 * @returns {string | undefined}
 */
export function onSearchPath(programs) {
  const folders = (process.env.PATH ?? '').split(delimiter);
  const paths = programs.flatMap((program) => folders.map((folder) => join(folder, program)));
  return paths.find(isRunnable);
}

/** Whether a path is that of a program. */
export function isRunnable(path) {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

/**
 * Installs a package of Debian where the process may do so; tells whether it did. `why` is printed before.
 * @param {string} name
 * @param {string} why
 */
export function installPackage(name, why) {
  if (process.getuid?.() !== 0 || onSearchPath(['apt-get']) === undefined) return false;
  console.log(why);
  const options = {
    stdio: ['ignore', 'ignore', 'inherit'],
    env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
  };
  execFileSync('apt-get', ['update', '-qq'], options);
  execFileSync('apt-get', ['install', '-y', '-qq', '--no-install-recommends', name], options);
  return true;
}
