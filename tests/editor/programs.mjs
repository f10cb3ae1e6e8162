// Finds programs that tests need, and installs them if that is possible without asking.
import { execFileSync } from 'node:child_process';
import { accessSync, constants } from 'node:fs';
import { delimiter, join } from 'node:path';

/**
 * The path of the first of these programs on the search path; undefined if there is none.
 * @param {string[]} programs
 * @returns {string | undefined}
 */
export function onSearchPath(programs) {
  const folders = (process.env.PATH ?? '').split(delimiter);
  const paths = programs.flatMap((program) => folders.map((folder) => join(folder, program)));
  return paths.find(isRunnable);
}

/** Whether a path is an executable file. */
export function isRunnable(path) {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

/**
 * Installs a Debian package if the process may do so; returns whether it did. `why` is printed before.
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
