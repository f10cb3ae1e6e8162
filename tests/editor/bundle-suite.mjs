// Bundles the suite into a small extension of its own. VS Code runs it from there, beside the packaged
// extension that it tests, so that what is tested is what a user installs.
import { cpSync, existsSync, mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { build } from 'esbuild';
import { output, project } from './paths.mjs';

/**
 * Builds the suite and lays out a fresh workspace for it: the files of tests/editor/workspace, and the
 * samples.
 * @returns {{ extension: string, suite: string, workspace: string }}
 */
export async function bundleSuite() {
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

  const sources = project('tests/editor/suite');
  const tests = readdirSync(sources).filter((name) => name.endsWith('.test.ts'));
  await build({
    entryPoints: ['index.ts', ...tests].map((name) => join(sources, name)),
    outdir: join(extension, 'suite'),
    bundle: true,
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    external: ['vscode', 'mocha'],
    logLevel: 'warning',
  });

  cpSync(project('tests/editor/workspace'), workspace, { recursive: true });
  const samples = project('samples');
  if (existsSync(samples)) cpSync(samples, join(workspace, basename(samples)), { recursive: true });
  return { extension, suite: join(extension, 'suite/index'), workspace };
}
