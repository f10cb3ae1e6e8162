// How many of the seeded mistakes the checks find:
//
//   npm run mistakes [-- --details] [-- --update]
//
// With `--details` it also prints what is found, and with `--update` it removes from `not-found.yaml` what is found now.
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const source = new URL('print.ts', import.meta.url);
const outfile = fileURLToPath(new URL('../../.test-output/mistakes.cjs', import.meta.url));
await build({
  entryPoints: [fileURLToPath(source)],
  bundle: true,
  platform: 'node',
  define: { 'import.meta.url': JSON.stringify(String(source)) },
  outfile,
});
const { print } = createRequire(import.meta.url)(outfile);

const options = new Set(process.argv.slice(2));
print({ details: options.has('--details'), update: options.has('--update') });
