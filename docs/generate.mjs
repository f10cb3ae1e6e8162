// Writes docs/checks.md, the reference of all checks, from the checks themselves.
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const { outputFiles } = await build({
  entryPoints: [fileURLToPath(new URL('../shared/checks/reference.ts', import.meta.url))],
  bundle: true,
  platform: 'browser', // what stands in shared/ needs nothing of a host
  format: 'esm',
  write: false,
});
const code = Buffer.from(outputFiles[0].contents).toString('base64');
const { checkReference } = await import(`data:text/javascript;base64,${code}`);
writeFileSync(new URL('checks.md', import.meta.url), checkReference());
