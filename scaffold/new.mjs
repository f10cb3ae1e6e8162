// Creates the files for something new: its source, its line in the registry, its test. The parts to fill in are marked
// TODO, and tests fail until they are filled in.
//
//   npm run new check ID FAMILY       a check of that family (`fuel`, `wiring`…), with its fixture
//   npm run new value ID [SECTION]    a derived value of each operating point, or of the file in a section
//   npm run new feature NAME          a feature of the language server
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';
import { check } from './check.mjs';
import { feature } from './feature.mjs';
import { value } from './value.mjs';

const ROOT = new URL('../', import.meta.url);
const KINDS = { check, value, feature };

try {
  begin(process.argv.slice(2));
} catch (error) {
  console.error(error.message);
  process.exitCode = 2;
}

/** Creates the files and changes those that list them, all or none. */
function begin([kind, ...operands]) {
  const make = Object.hasOwn(KINDS, kind ?? '') ? KINDS[kind] : undefined;
  if (!make) throw new Error(`Missing or unknown kind; use one of ${Object.keys(KINDS).join(', ')}.`);
  const read = (path) => readFileSync(new URL(path, ROOT), 'utf8');
  const { files, changes, next } = make(operands, read);
  for (const path of Object.keys(files))
    if (existsSync(new URL(path, ROOT))) throw new Error(`${path} already exists.`);
  const changed = Object.entries(changes).map(([path, change]) => [path, change(read(path))]);
  const all = [...Object.entries(files), ...changed];
  for (const [path, text] of all) writeFileSync(new URL(path, ROOT), text);
  tidy(all.map(([path]) => path).filter((path) => path.endsWith('.ts')));
  for (const path of Object.keys(files)) console.log(`created  ${path}`);
  for (const path of Object.keys(changes)) console.log(`changed  ${path}`);
  console.log(`\n${next}`);
}

/** Formats as `npm run format` does. */
function tidy(paths) {
  const biome = createRequire(import.meta.url).resolve('@biomejs/biome/bin/biome');
  const cwd = fileURLToPath(ROOT);
  const { status, stderr } = spawnSync(process.execPath, [biome, 'check', '--write', ...paths], { cwd });
  if (status !== 0) throw new Error(String(stderr));
}
