// npm run states -- [COUNT] [SEED]: derives random states of the samples, a million by default, and reports each value
// that passes a bound. A million take about a quarter of an hour.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const [count = 1_000_000, seed = Date.now() % 1e9] = process.argv.slice(2).map(Number);
if (!(count > 0) || !(seed >= 0)) {
  console.error('npm run states -- [COUNT] [SEED]: how many states, and where to begin.');
  process.exit(2);
}
const scratch = mkdtempSync(join(tmpdir(), 'enginewright-states-'));
try {
  const outfile = join(scratch, 'random-states.mjs');
  await build({
    entryPoints: [fileURLToPath(new URL('random-states.ts', import.meta.url))],
    ...{ bundle: true, platform: 'node', format: 'esm', target: 'node20', mainFields: ['module', 'main'] },
    banner: {
      js: "import { createRequire } from 'node:module'; const require = createRequire(import.meta.url);",
    },
    // The bundle finds the samples relative to this path.
    define: { 'import.meta.url': JSON.stringify(new URL('../support/samples.ts', import.meta.url).href) },
    outfile,
    logLevel: 'error',
  });
  const { status } = spawnSync(process.execPath, [outfile, String(count), String(seed)], {
    stdio: 'inherit',
  });
  process.exitCode = status ?? 1;
} finally {
  rmSync(scratch, { recursive: true, force: true });
}
