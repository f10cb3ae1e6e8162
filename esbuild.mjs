// Builds the programs of the package into dist/:
//   client.cjs        the extension, loaded by VS Code
//   server.cjs        the language server, started by the extension or by `enginewright serve`
//   program.cjs       the command line, which loads server.cjs only for `serve`
//   enginewright.cjs  starts program.cjs
//   *.compiled        what V8 compiled of server.cjs and program.cjs here; the command line starts them with it
//   map-panel.js/css, installation-panel.js/css  what runs in the panels
// and LICENSES.txt, the licences of the libraries bundled into them.
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { chmodSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { EditorClient, positionIn } from './tests/bench/client.mjs';

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

/** Leaves the language server out of the command line's bundle: it is a program of its own, started when asked for. */
const serverBeside = {
  name: 'server-beside',
  setup(bundler) {
    bundler.onResolve({ filter: /^\.\.\/main\.ts$/ }, () => ({ path: resolve('server/server-beside.ts') }));
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
await build({ ...shared, sourcemap: false, entryPoints: ['precompile.ts'] });
for (const program of ['dist/program.cjs', 'dist/server.cjs']) endWithDigest(program);
const sample = 'samples/dotterel/dotterel-16t.engine.yaml';
const precompiling = 'dist/precompile.cjs';
execFileSync(process.execPath, [precompiling, 'dist/program.cjs', 'check', sample], { stdio: 'ignore' });
await useServer([precompiling, 'dist/server.cjs', '--stdio'], sample);
rmSync(precompiling);
writeFileSync(
  'dist/LICENSES.txt',
  licences(results.flatMap((result) => Object.keys(result.metafile.inputs))),
);

/** Ends a program with the digest of its text, by which what V8 compiles of it is known to be its own. */
function endWithDigest(program) {
  // esbuild escapes what is beyond ASCII in strings; in patterns and templates it may stand escaped as well.
  const text = readFileSync(program, 'utf8').replace(
    /[^\0-\x7f]/g,
    (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
  writeFileSync(program, `${text}// ${createHash('sha256').update(text).digest('hex')}\n`);
}

/** Opens a file in the language server and asks what an editor asks while somebody types, so that V8 compiles what that takes. */
async function useServer(args, file) {
  const text = readFileSync(file, 'utf8');
  const uri = String(pathToFileURL(file));
  const client = new EditorClient(args, { folder: String(pathToFileURL(dirname(file))) });
  await client.start();
  await client.open(uri, text);
  const at = text.indexOf('values:');
  const ask = (method, params) =>
    client.ask(`textDocument/${method}`, {
      textDocument: { uri },
      position: positionIn(text, at),
      ...params,
    });
  const range = { start: { line: 0, character: 0 }, end: { line: 60, character: 0 } };
  for (const method of ['hover', 'completion', 'documentSymbol', 'foldingRange', 'codeLens'])
    await ask(method);
  await ask('inlayHint', { range });
  await client.edit(uri, at, at, ' ');
  await client.stop();
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
