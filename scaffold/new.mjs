// Begins something new: its file, its line in the registry, its test. What is left to write is marked TODO,
// and the tests name it until it is written.
//
//   npm run new check ID FAMILY       a check of that family (`fuel`, `wiring`…), with its fixture
//   npm run new value ID [SECTION]    a derived value of each operating point, or of the file in a section
//   npm run new feature NAME          something that an editor can ask the language server
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

/** Makes the files and changes those that name them, all or none. */
function begin([kind, ...operands]) {
  const make = Object.hasOwn(KINDS, kind ?? '') ? KINDS[kind] : undefined;
  if (!make) throw new Error(`Say what is new: ${Object.keys(KINDS).join(', ')}.`);
  const read = (path) => readFileSync(new URL(path, ROOT), 'utf8');
  const { files, changes, next } = make(operands, read);
  for (const path of Object.keys(files))
    if (existsSync(new URL(path, ROOT))) throw new Error(`${path} is there already.`);
  const changed = Object.entries(changes).map(([path, change]) => [path, change(read(path))]);
  const all = [...Object.entries(files), ...changed];
  for (const [path, text] of all) writeFileSync(new URL(path, ROOT), text);
  tidy(all.map(([path]) => path).filter((path) => path.endsWith('.ts')));
  for (const path of Object.keys(files)) console.log(`made     ${path}`);
  for (const path of Object.keys(changes)) console.log(`changed  ${path}`);
  console.log(`\n${next}`);
}

/** Puts imports and lines as `npm run format` does. */
function tidy(paths) {
  const biome = createRequire(import.meta.url).resolve('@biomejs/biome/bin/biome');
  const cwd = fileURLToPath(ROOT);
  const { status, stderr } = spawnSync(process.execPath, [biome, 'check', '--write', ...paths], { cwd });
  if (status !== 0) throw new Error(String(stderr));
}
