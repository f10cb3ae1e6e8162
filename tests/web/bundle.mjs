// Bundles the tests that run in VS Code on the web into an extension: one script for its file system, one for the suite.
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { basename, join, relative } from 'node:path';
import { build } from 'esbuild';
import { output, project } from '../editor/paths.mjs';

/** The tests of the editor that run in both hosts; the others need Git, files on disk or processes. */
const both = ['bounds', 'features'];

/**
 * Returns the folder of the extension. With ONLY=features, only test files whose names begin with `features` run.
 * @param {string} answers the address for the suite's requests
 * @param {string[]} sources the folders that the tests find in their workspace
 */
export async function bundleWebSuite(answers, sources) {
  const extension = output('web-test-extension');
  rmSync(extension, { recursive: true, force: true });
  mkdirSync(extension, { recursive: true });
  const manifest = {
    ...{
      name: 'enginewright-web-tests',
      publisher: 'enginewright',
      version: '0.0.0',
      engines: { vscode: '*' },
    },
    browser: 'extension.js',
    activationEvents: ['onFileSystem:enginewright-memory'],
  };
  writeFileSync(join(extension, 'package.json'), JSON.stringify(manifest));

  const tests = [
    project('tests/web/web.test.ts'),
    ...both.map((name) => project(`tests/editor/suite/${name}.test.ts`)),
  ];
  const chosen = tests.filter((path) => basename(path).startsWith(process.env.ONLY ?? ''));
  const modules = {
    suites: chosen.map((path) => `import ${JSON.stringify(path)};`).join('\n'),
    'workspace-files': `export default ${JSON.stringify(texts(sources))};`,
  };
  const standIns = {
    mocha: project('tests/web/mocha.ts'),
    'node:assert/strict': project('tests/web/assert.ts'),
  };
  const forBrowsers = {
    name: 'for-browsers',
    setup(bundler) {
      bundler.onResolve({ filter: /^(?:suites|workspace-files)$/ }, ({ path }) => ({
        path,
        namespace: 'made',
      }));
      bundler.onLoad({ filter: /.*/, namespace: 'made' }, ({ path }) => ({
        contents: modules[path],
        resolveDir: project(),
      }));
      bundler.onResolve({ filter: /^(?:mocha|node:assert\/strict)$/ }, ({ path }) => ({
        path: standIns[path],
      }));
    },
  };
  await build({
    entryPoints: [project('tests/web/extension.ts'), project('tests/web/index.ts')],
    outdir: extension,
    bundle: true,
    platform: 'browser',
    format: 'cjs',
    target: 'es2022',
    external: ['vscode'],
    define: { ANSWERS: JSON.stringify(answers), 'process.env.NODE_ENV': '"test"' },
    plugins: [forBrowsers],
    logLevel: 'warning',
  });
  return extension;
}

/** The texts of the folders by their path in the workspace. */
function texts(sources) {
  const files = sources.flatMap((source) => {
    const inside = basename(source) === 'workspace' ? '/workspace' : `/workspace/${basename(source)}`;
    return readdirSync(source, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name))
      .map((path) => [
        `${inside}/${relative(source, path).replaceAll('\\', '/')}`,
        readFileSync(path, 'utf8'),
      ]);
  });
  return Object.fromEntries(files);
}
