// Builds the bundles in dist/ if they are missing or older than their sources.
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, rmSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const ingredients = ['client', 'server', 'shared', 'schemas', 'esbuild.mjs', 'package.json'];

const bundle = join(root, 'dist/enginewright.cjs');
/** Exists during a build. */
const lock = join(root, '.test-output/building');
/** In ms; an older lock was left behind by an aborted build. */
const LONGEST_BUILD = 120_000;

/**
 * Returns the path of the up-to-date command line bundle. Several tests may call this at once; one of them builds.
 */
export function buildIfStale() {
  takeLock();
  try {
    if (
      !existsSync(bundle) ||
      newest(ingredients.map((name) => join(root, name))) > statSync(bundle).mtimeMs
    ) {
      console.log('Building dist/.');
      const options = { cwd: root, stdio: 'inherit', shell: process.platform === 'win32' };
      execFileSync('npm', ['run', '--silent', 'build'], options);
    }
  } finally {
    removeLock();
  }
  return bundle;
}

const removeLock = () => rmSync(lock, { recursive: true, force: true });

/** Waits until no other build runs. Creating an existing folder fails. */
function takeLock() {
  mkdirSync(dirname(lock), { recursive: true });
  while (true) {
    try {
      mkdirSync(lock);
      return;
    } catch (error) {
      if (error.code !== 'EEXIST') throw error;
    }
    const since = statSync(lock, { throwIfNoEntry: false })?.mtimeMs ?? Date.now();
    if (Date.now() - since > LONGEST_BUILD) removeLock();
    else Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 100);
  }
}

function newest(paths) {
  return Math.max(
    ...paths.map((path) => {
      const found = statSync(path);
      return found.isDirectory() ? newest(readdirSync(path).map((name) => join(path, name))) : found.mtimeMs;
    }),
  );
}
