// Bundles the suite into a small extension of its own. VS Code runs it from there, beside the packaged
// extension that it tests, so that what is tested is what a user installs.
import { cpSync, mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { build } from 'esbuild';
import { output, project } from './paths.mjs';

/**
 * Builds the tests of a folder, and lays out a fresh workspace for them: `tests/editor/workspace` gives what is in
 * it, any other folder itself.
 * @param {string} tests
 * @param {string[]} sources
 * @returns {Promise<{ extension: string, suite: string, workspace: string }>}
 */
export async function bundleSuite(tests, sources) {
  const extension = output('test-extension');
  const workspace = output('workspace');
  for (const folder of [extension, workspace]) {
    rmSync(folder, { recursive: true, force: true });
    mkdirSync(folder, { recursive: true });
  }
  const manifest = {
    name: 'enginewright-tests',
    publisher: 'enginewright',
    version: '0.0.0',
    engines: { vscode: '*' },
  };
  writeFileSync(join(extension, 'package.json'), JSON.stringify(manifest));

  const files = readdirSync(tests).filter((name) => name.endsWith('.test.ts'));
  await build({
    entryPoints: [
      { in: project('tests/editor/suite/index.ts'), out: 'index' },
      ...files.map((name) => ({ in: join(tests, name), out: basename(name, '.ts') })),
    ],
    outdir: join(extension, 'suite'),
    bundle: true,
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    external: ['vscode', 'mocha'],
    logLevel: 'warning',
  });

  for (const source of sources) {
    const inside = basename(source) === 'workspace' ? '' : basename(source);
    cpSync(source, join(workspace, inside), { recursive: true });
  }
  return { extension, suite: join(extension, 'suite/index'), workspace };
}
