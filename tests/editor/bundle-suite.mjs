// Bundles the suite into a small extension of its own. VS Code runs it beside the packaged extension under test, so
// that what is tested is what a user installs.
import { execFileSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readdirSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { build } from 'esbuild';
import { output, project } from './paths.mjs';

/**
 * Builds the tests of a folder and copies a fresh workspace for them: the contents of `tests/editor/workspace`, and
 * other folders as they are. With ONLY=review, only test files whose names begin with `review` are built. The workspace
 * is a git repository of its own with everything committed. It is deleted when this process ends. `answers` is the address
 * for the suite's requests; undefined if nobody answers.
 * @param {string} tests
 * @param {string[]} sources
 * @param {string} [answers]
 * @returns {Promise<{ extension: string, suite: string, workspace: string }>}
 */
export async function bundleSuite(tests, sources, answers) {
  const extension = output('test-extension');
  rmSync(extension, { recursive: true, force: true });
  mkdirSync(extension, { recursive: true });
  const manifest = {
    name: 'enginewright-tests',
    publisher: 'enginewright',
    version: '0.0.0',
    engines: { vscode: '*' },
  };
  writeFileSync(join(extension, 'package.json'), JSON.stringify(manifest));

  const only = process.env.ONLY ?? '';
  const files = readdirSync(tests).filter((name) => name.endsWith('.test.ts') && name.startsWith(only));
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
    define: {
      ANSWERS: JSON.stringify(answers ?? ''),
      PROGRAM: JSON.stringify(project('dist/enginewright.cjs')),
    },
    logLevel: 'warning',
  });

  return { extension, suite: join(extension, 'suite/index'), workspace: layOut(sources) };
}

function layOut(sources) {
  const top = realpathSync(mkdtempSync(join(tmpdir(), 'enginewright-workspace-')));
  process.once('exit', () => rmSync(top, { recursive: true, force: true }));
  const workspace = join(top, 'workspace');
  mkdirSync(workspace);
  for (const source of sources) {
    const inside = basename(source) === 'workspace' ? '' : basename(source);
    cpSync(source, join(workspace, inside), { recursive: true });
  }
  const git = (...args) =>
    execFileSync('git', ['-C', workspace, ...args], { stdio: ['ignore', 'ignore', 'inherit'] });
  git('init', '--quiet', '--initial-branch=main');
  git('config', 'user.name', 'Test');
  git('config', 'user.email', 'test@example.org');
  git('config', 'commit.gpgsign', 'false');
  git('add', '--all');
  git('commit', '--quiet', '--message', 'As it came');
  return workspace;
}
