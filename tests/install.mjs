// Installs the packages of package-lock.json if they are missing or outdated. Needs no packages itself, so it runs on a
// fresh clone.
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = dirname(dirname(fileURLToPath(import.meta.url)));

/** Makes node_modules match package-lock.json; prints a line before it installs. */
export function installPackages() {
  if (installed()) return;
  console.log('Installing the packages of package-lock.json (about 300 MB in node_modules).');
  const options = { cwd: root, stdio: 'inherit', shell: process.platform === 'win32' };
  execFileSync('npm', ['ci', '--no-audit', '--no-fund', '--loglevel=error'], options);
}

function installed() {
  const record = join(root, 'node_modules/.package-lock.json');
  if (!existsSync(record)) return false;
  const packages = (path) => JSON.parse(readFileSync(path, 'utf8')).packages;
  const present = packages(record);
  return Object.entries(packages(join(root, 'package-lock.json')))
    .filter(([path, { optional }]) => path !== '' && !(optional && present[path] === undefined))
    .every(([path, { version }]) => present[path]?.version === version);
}
