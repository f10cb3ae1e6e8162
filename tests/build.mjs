// Builds the bundles in dist/ where they are missing or older than what they are made of.
import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const ingredients = ['client', 'server', 'shared', 'schemas', 'esbuild.mjs', 'package.json'];

/** Gives the path of the command line's bundle, up to date. */
export function buildIfStale() {
  const bundle = join(root, 'dist/enginewright.cjs');
  if (!existsSync(bundle) || newest(ingredients.map((name) => join(root, name))) > statSync(bundle).mtimeMs) {
    console.log('Building the programs in dist/.');
    const options = { cwd: root, stdio: 'inherit', shell: process.platform === 'win32' };
    execFileSync('npm', ['run', '--silent', 'build'], options);
  }
  return bundle;
}

function newest(paths) {
  return Math.max(
    ...paths.map((path) => {
      const found = statSync(path);
      return found.isDirectory() ? newest(readdirSync(path).map((name) => join(path, name))) : found.mtimeMs;
    }),
  );
}
