// Makes the data of the two invented runs of the Dotterel: node samples/runs/make.mjs
// They come from the derived chain of its engine file, with known errors and noise; no engine has run.
import { rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';

const here = (name) => fileURLToPath(new URL(name, import.meta.url));
const bundle = join(tmpdir(), `enginewright-runs-${process.pid}.cjs`);
await build({
  entryPoints: [here('dotterel.ts')],
  outfile: bundle,
  bundle: true,
  platform: 'node',
  format: 'cjs',
  mainFields: ['module', 'main'],
  logLevel: 'warning',
});
const { dotterelRuns } = (await import(pathToFileURL(bundle).href)).default;
rmSync(bundle);
for (const [name, csv] of Object.entries(dotterelRuns())) writeFileSync(here(`../dotterel/${name}`), csv);
