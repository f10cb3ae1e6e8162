// Finds a Chromium to show the editor in, or installs one where that takes no asking.
import { execFileSync } from 'node:child_process';
import { accessSync, constants } from 'node:fs';
import { delimiter, join } from 'node:path';

const names = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome'];

/**
 * The path of a Chromium or a browser built on it: ENGINEWRIGHT_CHROMIUM, or one on the search path, or one
 * freshly installed with apt-get where that is allowed.
 */
export function findChromium() {
  const named = process.env.ENGINEWRIGHT_CHROMIUM;
  if (named !== undefined) {
    if (runnable(named)) return named;
    throw new Error(`ENGINEWRIGHT_CHROMIUM names ${named}, which is not a program.`);
  }
  const found = onSearchPath(names);
  if (found !== undefined) return found;
  if (process.getuid?.() === 0 && onSearchPath(['apt-get']) !== undefined) {
    console.log('Installing Chromium (about 350 MB) with apt-get: the editor tests show VS Code in it.');
    const options = {
      stdio: ['ignore', 'ignore', 'inherit'],
      env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
    };
    execFileSync('apt-get', ['update', '-qq'], options);
    execFileSync('apt-get', ['install', '-y', '-qq', '--no-install-recommends', 'chromium'], options);
    const installed = onSearchPath(names);
    if (installed !== undefined) return installed;
  }
  throw new Error(
    'The editor tests need Chromium or Chrome. Install one, or name one in ENGINEWRIGHT_CHROMIUM. ' +
      'The other tests run without it: npm run test:unit',
  );
}

function onSearchPath(programs) {
  const folders = (process.env.PATH ?? '').split(delimiter);
  const paths = programs.flatMap((program) => folders.map((folder) => join(folder, program)));
  return paths.find(runnable);
}

function runnable(path) {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}
