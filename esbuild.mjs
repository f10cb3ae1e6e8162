// Builds the programs of both packages, the .vsix file and the npm package. All libraries are bundled.
//   for the extension
//     client.cjs        loaded by VS Code
//     server.cjs        the language server, started by client.cjs
//     web/client.js, web/server.js  both for VS Code in a browser
//     map-panel.js/css, installation-panel.js/css, memory-panel.js/css, run-panel.js/css  the panels
//     check-pages.json  the pages of the checks
//   for the command line
//     enginewright.cjs  starts program.cjs
//     program.cjs       all commands, including `serve`, the language server for other editors
// and LICENSES.txt, the licences of the bundled libraries.
//
//   node esbuild.mjs                 for release: minified, without source maps
//   node esbuild.mjs --watch         for development: readable, with source maps, rebuilt after each change
//   node esbuild.mjs --outdir FOLDER into another folder than dist/, which is emptied first
import { spawnSync } from 'node:child_process';
import {
  chmodSync,
  existsSync,
  readdirSync,
  readFileSync,
  rmSync,
  utimesSync,
  watch,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { build, context } from 'esbuild';

const { watch: isWatching, outdir } = parseArgs({
  options: { watch: { type: 'boolean', default: false }, outdir: { type: 'string', default: 'dist' } },
}).values;

const shared = {
  bundle: true,
  outdir,
  outExtension: { '.js': '.cjs' },
  platform: 'node',
  format: 'cjs',
  target: 'node20',
  mainFields: ['module', 'main'],
  minify: !isWatching,
  sourcemap: isWatching && 'linked',
  legalComments: 'none',
  metafile: true,
  logLevel: 'warning',
};

const inBrowser = {
  ...shared,
  outExtension: {},
  platform: 'browser',
  target: 'es2022',
  mainFields: ['browser', 'module', 'main'],
  conditions: ['browser'],
};

/**
 * The pages of the checks, in `check-pages.json`: the client shows them. The worker, which may come over a network, is built
 * without them and is a tenth smaller.
 */
const pagesApart = {
  name: 'pages-apart',
  setup(bundler) {
    bundler.onLoad({ filter: /[\\/]shared[\\/]checks[\\/][^\\/]+\.ts$/ }, ({ path }) => {
      const text = readFileSync(path, 'utf8');
      return { contents: text.replaceAll(/^( *)page: \{\n[\s\S]*?\n\1\},$/gm, ''), loader: 'ts' };
    });
    bundler.onEnd(async () => {
      writeFileSync(join(outdir, 'check-pages.json'), JSON.stringify(await checkPages()));
    });
  },
};

/** The Markdown of the page of each check, by its id. */
async function checkPages() {
  const contents = `import { checkPage } from './shared/checks/page.ts';
    import { allChecks } from './shared/checks/registry.ts';
    export const pages = Object.fromEntries(allChecks.map((check) => [check.id, checkPage(check)]));`;
  const { outputFiles } = await build({
    ...{
      stdin: { contents, resolveDir: '.' },
      bundle: true,
      write: false,
      platform: 'browser',
      format: 'esm',
    },
  });
  const code = Buffer.from(outputFiles[0].contents).toString('base64');
  return (await import(`data:text/javascript;base64,${code}`)).pages;
}

const programs = [
  { ...shared, entryPoints: { client: 'client/node.ts' }, external: ['vscode'] },
  { ...shared, entryPoints: { server: 'server/main.ts' } },
  {
    ...shared,
    entryPoints: { program: 'server/command.ts' },
    // `require` is faster, and Node caches its compiled code.
    supported: { 'dynamic-import': false },
  },
  {
    ...shared,
    entryPoints: { enginewright: 'server/launcher.ts' },
    external: ['./program.cjs'],
    banner: { js: '#!/usr/bin/env node' },
  },
  { ...inBrowser, entryPoints: { 'web/client': 'client/browser.ts' }, external: ['vscode'] },
  {
    ...inBrowser,
    entryPoints: { 'web/server': 'server/worker.ts' },
    format: 'iife',
    plugins: [pagesApart],
  },
  {
    ...inBrowser,
    entryPoints: {
      'map-panel': 'client/map-panel/view/main.ts',
      'installation-panel': 'client/installation-panel/view/main.ts',
      'memory-panel': 'client/memory-panel/view/main.ts',
      'run-panel': 'client/run-panel/view/main.ts',
    },
    format: 'iife',
  },
];
const launcher = join(outdir, 'enginewright.cjs');

rmSync(outdir, { recursive: true, force: true });
if (isWatching) await buildAfterEachChange();
else await buildOnce();

async function buildOnce() {
  const results = await Promise.all(programs.map(build));
  chmodSync(launcher, 0o755);
  const inputs = results.flatMap(({ metafile }) => Object.keys(metafile.inputs));
  writeFileSync(join(outdir, 'LICENSES.txt'), licences(inputs));
}

/**
 * Builds again after each change of a source; after a change of a schema, first updates `generated/`. Never ends.
 */
async function buildAfterEachChange() {
  // The editor's task waits for these two sentences, so they are printed once for all programs.
  const unfinished = new Set();
  const failed = new Set();
  const begin = (program) => {
    if (unfinished.size === 0) console.log('Building.');
    unfinished.add(program);
  };
  const end = (program, { errors }) => {
    unfinished.delete(program);
    if (errors.length > 0) failed.add(program);
    else failed.delete(program);
    if (unfinished.size > 0) return;
    if (existsSync(launcher)) {
      chmodSync(launcher, 0o755);
      // An unchanged program is not written again, but the age of the build is read from this file.
      utimesSync(launcher, new Date(), new Date());
    }
    console.log(failed.size > 0 ? 'Built with errors.' : 'Built.');
  };
  const progress = (program) => ({
    name: 'progress',
    setup(bundler) {
      bundler.onStart(() => begin(program));
      bundler.onEnd((result) => end(program, result));
    },
  });
  for (const program of programs) begin(program);
  for (const program of programs) {
    const plugins = [...(program.plugins ?? []), progress(program)];
    await (await context({ ...program, plugins })).watch();
  }
  let waiting;
  watch('schemas', () => {
    clearTimeout(waiting);
    // An editor may write a file in several steps.
    waiting = setTimeout(
      () => spawnSync(process.execPath, ['schemas/generate.mjs'], { stdio: 'inherit' }),
      100,
    );
  });
}

/** The licence text of every bundled package, with its name and version. */
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
