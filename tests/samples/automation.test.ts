import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { build } from 'esbuild';
import { beforeAll, describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { completeController, completeEngine, folderOf } from '../support/command-line.ts';

/** Each of these starts programs, some of them several times. */

let program: string;
beforeAll(async () => {
  program = await commandLineProgram();
});

/** The command line in one file, as a team would copy it. Built here, so that no other test has to wait for dist/. */
async function commandLineProgram(): Promise<string> {
  const { outputFiles } = await build({
    ...{ entryPoints: ['server/command.ts'], bundle: true, write: false, platform: 'node', format: 'cjs' },
    mainFields: ['module', 'main'],
  });
  return outputFiles[0]!.text;
}

const sample = (name: string): unknown =>
  parse(readFileSync(new URL(`../../samples/automation/${name}`, import.meta.url), 'utf8'));

interface Step {
  readonly name?: string;
  readonly run?: string;
  readonly env?: Readonly<Record<string, string>>;
}

const workflow = sample('engine-files.workflow.yml') as { jobs: { check: { steps: Step[] } } };
const hooks = sample('.pre-commit-hooks.yaml') as { id: string; entry: string; files: string }[];

function step(name: string): Step {
  return workflow.jobs.check.steps.find((one) => one.name === name)!;
}

/** A repository with the program in tools/, as the samples expect; then an uncommitted change. */
function repository(change: string) {
  const folder = folderOf({
    'a.engine.yaml': completeEngine,
    'complete.controller.yaml': completeController,
  });
  mkdirSync(join(folder, 'tools'));
  writeFileSync(join(folder, 'tools', 'enginewright.cjs'), program);
  const git = (...args: string[]) =>
    execFileSync('git', ['-c', 'user.name=a', '-c', 'user.email=a@b', ...args], {
      cwd: folder,
      stdio: 'ignore',
    });
  git('init', '-b', 'main');
  git('add', '*.yaml');
  git('commit', '-m', 'first');
  git('switch', '-c', 'change');
  writeFileSync(join(folder, 'a.engine.yaml'), change);
  git('commit', '-am', 'second');
  const shell = (command: string, env: Record<string, string> = {}) =>
    spawnSync('sh', ['-c', command], { cwd: folder, encoding: 'utf8', env: { ...process.env, ...env } });
  return { folder, shell };
}

const good = completeEngine.replace('title:', 'title: the');
const bad = completeEngine.replace('static_flow: 340', 'static_flow: 120');

describe('the steps of the workflow', () => {
  test('the check passes what is well and stops what is not', () => {
    const { run } = step('Check');
    expect(repository(good).shell(run!)).toMatchObject({ status: 0, stderr: '' });
    expect(repository(bad).shell(run!)).toMatchObject({
      status: 1,
      stdout: expect.stringContaining('injector-duty-over-100'),
    });
  });

  test('what a change brings is annotated, and stops it', () => {
    const { run, env } = step('New findings and limits');
    expect(env).toHaveProperty('BASE');
    const base = { BASE: 'main' };
    expect(repository(good).shell(run!, base)).toMatchObject({ status: 0, stdout: '', stderr: '' });
    const { status, stdout } = repository(bad).shell(run!, base);
    expect(status).toBe(1);
    expect(stdout).toMatch(/^::warning file=a\.engine\.yaml,line=\d+,.*title=limit-passed::/m);
    expect(stdout).toMatch(/^::error file=a\.engine\.yaml,line=\d+,.*title=injector-duty-over-100::/m);
  });

  test('the comparison goes to the page of the run', () => {
    const { run, env } = step('Effect of the change on the engine');
    expect(env).toHaveProperty('BASE');
    const { folder, shell } = repository(bad);
    const page = join(folder, 'summary.md');
    const { status, stderr } = shell(run!, { BASE: 'main', GITHUB_STEP_SUMMARY: page });
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(readFileSync(page, 'utf8')).toContain('120 cc/min');
  });

  test('SARIF is made of findings too, and a fault of the run is none', () => {
    const { run } = step('Findings as SARIF');
    const { folder, shell } = repository(bad);
    expect(shell(run!).status).toBe(0);
    expect(JSON.parse(readFileSync(join(folder, 'findings.sarif'), 'utf8'))).toMatchObject({
      version: '2.1.0',
    });
    expect(shell(run!.replace('check .', 'check nowhere.engine.yaml')).status).not.toBe(0);
  });
});

describe.each(hooks)('the hook $id', ({ entry, files }) => {
  test('runs for our files and for no others', () => {
    const wanted = new RegExp(files);
    expect(['a.engine.yaml', 'x/b.controller.yaml'].every((name) => wanted.test(name))).toBe(true);
    expect(['a.yaml', 'engine.yaml', 'a.engine.yaml.bak'].some((name) => wanted.test(name))).toBe(false);
  });

  test('lets pass what is well, and nothing with an error', () => {
    expect(repository(good).shell(entry).status).toBe(0);
    expect(repository(bad).shell(entry).status).toBe(1);
  });
});
