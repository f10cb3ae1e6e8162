// Writes the current findings into the fixtures of the checks, to be reviewed as a diff:
//
//   npm run fixtures:update [PART OF A NAME]
//
// Updates markers, fixes and `no fix`. Correct ones are left unchanged, including abbreviated messages.
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const [part = ''] = process.argv.slice(2);
const support = new URL('support/fixture-as-it-is.ts', import.meta.url);
const outfile = fileURLToPath(new URL('../.test-output/fixture-as-it-is.cjs', import.meta.url));
await build({
  entryPoints: [fileURLToPath(support)],
  bundle: true,
  platform: 'node',
  define: { 'import.meta.url': JSON.stringify(String(support)) },
  outfile,
});
const { fixtureAsItIs } = createRequire(import.meta.url)(outfile);

const folder = new URL('fixtures/checks/', import.meta.url);
const names = readdirSync(folder).filter((name) => name.includes(part));
let changed = 0;
for (const name of names) {
  const file = new URL(name, folder);
  const text = readFileSync(file, 'utf8');
  try {
    const now = fixtureAsItIs(text, name.replace(/\.yaml$/, ''));
    if (now === text) continue;
    writeFileSync(file, now);
    changed++;
    console.log(`Changed tests/fixtures/checks/${name}.`);
  } catch (error) {
    console.error(`tests/fixtures/checks/${name}: ${error.message}`);
    process.exitCode = 1;
  }
}
console.log(`${changed} of ${names.length} fixtures changed.${changed > 0 ? ' Review the diff.' : ''}`);
