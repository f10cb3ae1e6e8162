// How many of the seeded mistakes the checks find:
//
//   npm run mistakes [-- --details] [-- --update] [-- --axes COUNT]
//
// With `--details` it also prints what is found, and with `--update` it removes from `not-found.yaml` what is found now.
// `--axes` instead resamples the maps of each sound file so many times on other axes, and prints the false alarms.
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
const { print, printOnOtherAxes } = createRequire(import.meta.url)(outfile);

const options = process.argv.slice(2);
const axes = options.indexOf('--axes');
if (axes >= 0) printOnOtherAxes(Number(options[axes + 1] ?? 5));
else print({ details: options.includes('--details'), update: options.includes('--update') });
