// Where the editor tests keep their things, all of it ignored by git.
import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))));

/** A path inside the project. */
export const project = (...parts) => join(root, ...parts);

/** A path inside the folder of what the tests write. */
export const output = (...parts) => project('.test-output', ...parts);

/** The packaged extension, made by `npm run package`. */
export function packagedExtension() {
  const { name, version } = JSON.parse(readFileSync(project('package.json'), 'utf8'));
  return project(`${name}-${version}.vsix`);
}
