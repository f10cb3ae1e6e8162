// The folders of the editor tests, all ignored by git.
import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))));

/** A path inside the project. */
export const project = (...parts) => join(root, ...parts);

/** A path in the output folder of the tests. */
export const output = (...parts) => project('.test-output', ...parts);

/** The packaged extension, made by `npm run package`. */
export function packagedExtension() {
  const { name, version } = JSON.parse(readFileSync(project('package.json'), 'utf8'));
  return project(`${name}-${version}.vsix`);
}
