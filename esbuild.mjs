// Builds the programs of the package into dist/:
//   client.cjs        the extension, loaded by VS Code
//   server.cjs        the language server, started by the extension or by `enginewright serve`
//   program.cjs       the command line, which loads server.cjs only for `serve`
//   enginewright.cjs  starts program.cjs with program.compiled, which is what V8 compiled of it here
//   map-panel.js/css, installation-panel.js/css  what runs in the panels
// and LICENSES.txt, the licences of the libraries bundled into them.
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { chmodSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { build } from 'esbuild';

const shared = {
  bundle: true,
  outdir: 'dist',
  outExtension: { '.js': '.cjs' },
  platform: 'node',
  format: 'cjs',
  target: 'node20',
  mainFields: ['module', 'main'],
  minify: true,
  sourcemap: 'external',
  legalComments: 'none',
  metafile: true,
  logLevel: 'warning',
};

/** Leaves the language server out of the command line's bundle: it is loaded from its own when asked for. */
const serverBeside = {
  name: 'server-beside',
  setup(bundler) {
    bundler.onResolve({ filter: /^\.\.\/main\.ts$/ }, () => ({ path: './server.cjs', external: true }));
  },
};

rmSync('dist', { recursive: true, force: true });
const results = await Promise.all([
  build({ ...shared, entryPoints: { client: 'client/extension.ts' }, external: ['vscode'] }),
  build({ ...shared, entryPoints: { server: 'server/main.ts' } }),
  build({
    ...shared,
    entryPoints: { program: 'server/command.ts' },
    plugins: [serverBeside],
    // What is started by the launcher is no module that Node knows of, and may not import.
    supported: { 'dynamic-import': false },
  }),
  build({
    ...shared,
    entryPoints: { enginewright: 'server/launcher.ts' },
    banner: { js: '#!/usr/bin/env node' },
  }),
  build({
    ...shared,
    entryPoints: {
      'map-panel': 'client/map-panel/view/main.ts',
      'installation-panel': 'client/installation-panel/view/main.ts',
    },
    outExtension: {},
    platform: 'browser',
    format: 'iife',
    target: 'es2022',
  }),
]);
chmodSync('dist/enginewright.cjs', 0o755);
await precompile('dist/program.cjs', 'samples/dotterel/dotterel-16t.engine.yaml');
writeFileSync(
  'dist/LICENSES.txt',
  licences(results.flatMap((result) => Object.keys(result.metafile.inputs))),
);

/** Ends a program with the digest of its text, and keeps beside it what V8 compiled of it to check a file. */
async function precompile(program, file) {
  // esbuild escapes what is beyond ASCII in strings; in patterns and templates it may stand escaped as well.
  const text = readFileSync(program, 'utf8').replace(
    /[^\0-\x7f]/g,
    (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
  writeFileSync(program, `${text}// ${createHash('sha256').update(text).digest('hex')}\n`);
  const { outputFiles } = await build({
    ...shared,
    write: false,
    sourcemap: false,
    entryPoints: ['precompile.ts'],
  });
  execFileSync(process.execPath, ['-', program, 'check', file], {
    input: outputFiles[0].text,
    stdio: ['pipe', 'ignore', 'inherit'],
  });
}

/** The licence text of every package among the bundled files, each under its name and version. */
function licences(inputs) {
  const folders = inputs.map((input) => /^(?:.*\/)?node_modules\/(?:@[^/]+\/)?[^/]+/.exec(input)?.[0]);
  return [...new Set(folders.filter(Boolean))]
    .sort()
    .map((folder) => {
      const { name, version, license } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
      const file = readdirSync(folder).find((entry) => /^licen[cs]e/i.test(entry));
      const text = file ? readFileSync(join(folder, file), 'utf8') : '';
      return `${name} ${version} (${license})\n\n${text.trim()}\n`;
    })
    .join(`\n${'-'.repeat(80)}\n\n`);
}
