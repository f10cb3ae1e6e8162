// npm run tables -- [COUNT] [--keep]: what the checks of the shape of tables find in COUNT plausible tables of each kind (40
// without it), and in the same with planted faults. `--keep` writes the tables into docs/tables.md. 40 take some minutes.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const args = process.argv.slice(2);
const count = Number(args.find((arg) => !arg.startsWith('--')) ?? 40);
if (!(count >= 4)) {
  console.error('npm run tables -- [COUNT] [--keep]: COUNT is at least 4.');
  process.exit(2);
}
const scratch = mkdtempSync(join(tmpdir(), 'enginewright-tables-'));
try {
  const outfile = join(scratch, 'tables.mjs');
  await build({
    entryPoints: [fileURLToPath(new URL('print.ts', import.meta.url))],
    ...{ bundle: true, platform: 'node', format: 'esm', target: 'node20', mainFields: ['module', 'main'] },
    banner: {
      js: "import { createRequire } from 'node:module'; const require = createRequire(import.meta.url);",
    },
    // The fixtures are found from there.
    define: { 'import.meta.url': JSON.stringify(new URL('../../support/fixture.ts', import.meta.url).href) },
    outfile,
    logLevel: 'error',
  });
  const page = args.includes('--keep')
    ? [fileURLToPath(new URL('../../../docs/tables.md', import.meta.url))]
    : [];
  const { status } = spawnSync(process.execPath, [outfile, String(count), ...page], { stdio: 'inherit' });
  process.exitCode = status ?? 1;
} finally {
  rmSync(scratch, { recursive: true, force: true });
}
