// Profiles the analysis for each size of file: time by part of the program.
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { table } from './measure.mjs';

/** The parts of the program with their modules. */
const PARTS = [
  ['reading the text', /(shared\/source|node_modules\/yaml)\//],
  ['judging and binding', /(shared\/(configuration|quantity)|generated)\/|shared\/(bare-object|analysis)/],
  ['deriving', /shared\/(derived|physics)\//],
  ['checking', /shared\/(checks|storage|tables|compare)\/|shared\/(grouped-by|extremes)/],
  ['telling the editor', /server\//],
  ['collecting garbage', /^\(garbage collector\)$/],
  ['Node and V8', /^\(program\)$/],
];

/**
 * A table of shares of the time, by part and by what was done, for each of some folders that hold an `a.engine.yaml`.
 * @param {readonly { name: string, folder: string }[]} sizes
 * @param {string} scratch a folder to build in
 */
export async function profileTables(sizes, scratch) {
  const bundle = join(scratch, 'profiled.mjs');
  await build({
    entryPoints: [fileURLToPath(new URL('profiled.mjs', import.meta.url))],
    ...{ bundle: true, platform: 'node', format: 'esm', target: 'node20', mainFields: ['module', 'main'] },
    banner: {
      js: "import { createRequire } from 'node:module'; const require = createRequire(import.meta.url);",
    },
    outfile: bundle,
    logLevel: 'error',
  });
  return sizes.map(({ name, folder }) => profileTable(name, folder, bundle)).join('\n\n');
}

function profileTable(name, folder, bundle) {
  const args = ['--expose-gc', bundle, join(folder, 'a.engine.yaml'), bundle];
  const { stdout, stderr, status } = spawnSync(process.execPath, args, { encoding: 'utf8', maxBuffer: 1e9 });
  if (status !== 0) throw new Error(stderr);
  const { results, alive } = JSON.parse(stdout);
  const columns = Object.values(results).map((ms) => {
    const times = Object.entries(ms).filter(([module]) => module !== '(idle)');
    const sumOf = (pattern) =>
      times.reduce((sum, [module, time]) => sum + (pattern.test(module) ? time : 0), 0);
    return PARTS.map(([, pattern]) => `${Math.round((100 * sumOf(pattern)) / sumOf(/./))} %`);
  });
  const rows = PARTS.map(([part], i) => [part, ...columns.map((shares) => shares[i])]);
  const alone = `Of the heap ${alive.toFixed(0)} MB are alive after all that.`;
  return `${table([name, ...Object.keys(results)], rows)}\n\n${alone}`;
}
