import { execFile, execFileSync } from 'node:child_process';
import { mkdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { delimiter, dirname, join } from 'node:path';
import { beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import { parse } from 'yaml';
import { FILE_KINDS } from '../../shared/configuration/project.ts';
import { buildIfStale } from '../build.mjs';
import { completeController, completeEngine, folderOf } from '../support/command-line.ts';

/** The built program is in `dist/` of this folder, as after the action's first step. */
let actionPath: string;
beforeAll(() => {
  actionPath = dirname(dirname(buildIfStale()));
});

const yaml = (name: string): unknown =>
  parse(readFileSync(new URL(`../../${name}`, import.meta.url), 'utf8'));

interface Step {
  readonly name: string;
  readonly if?: string;
  readonly run?: string;
  readonly uses?: string;
  readonly env?: Readonly<Record<string, string>>;
}

const action = yaml('action.yml') as {
  inputs: Readonly<Record<string, { default: string }>>;
  runs: { steps: Step[] };
};
const workflow = yaml('samples/automation/engine-files.workflow.yml') as {
  on: { pull_request: { paths: readonly string[] } };
  permissions: Readonly<Record<string, string>>;
  jobs: { check: { steps: { uses: string; with: Readonly<Record<string, unknown>> }[] } };
};
const hooks = yaml('.pre-commit-hooks.yaml') as { id: string; entry: string; files: string }[];

/** A repository that contains nothing but YAML, with a first commit and a change. */
function repository(change: string, first = completeEngine) {
  const folder = folderOf({ 'a.engine.yaml': first, 'complete.controller.yaml': completeController });
  const git = (...args: string[]) =>
    execFileSync('git', ['-c', 'user.name=a', '-c', 'user.email=a@b', ...args], {
      cwd: folder,
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'ignore'],
    }).trim();
  git('init', '-b', 'main');
  git('add', '.');
  git('commit', '-m', 'first');
  const base = git('rev-parse', 'HEAD');
  git('switch', '-c', 'change');
  writeFileSync(join(folder, 'a.engine.yaml'), change);
  git('commit', '-am', 'second');
  return { folder, base };
}

interface Outcome {
  readonly status: number;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs a script as GitHub runs those of an action, and asynchronously, so that this process can answer its requests. */
function shell(script: string, cwd: string, env: Readonly<Record<string, string>>): Promise<Outcome> {
  const { ENGINEWRIGHT_VERIFY: _, ...inherited } = process.env;
  return new Promise((resolve) => {
    const options = { cwd, env: { ...inherited, ...env } };
    execFile('bash', ['-eo', 'pipefail', '-c', script], options, (error, stdout, stderr) =>
      resolve({ status: error ? Number(error.code) : 0, stdout, stderr }),
    );
  });
}

/** The folder for temporary files, and the file for the page of the run. */
function runner() {
  const folder = folderOf({});
  return { RUNNER_TEMP: folder, GITHUB_STEP_SUMMARY: join(folder, 'page.md') };
}

/** Runs one step of the action in a repository, on a pull request with the number 7. */
function run(
  name: string,
  { folder, base }: { folder: string; base: string },
  inputs: Readonly<Record<string, string>> = {},
  env: Readonly<Record<string, string>> = {},
): Promise<Outcome> {
  const step = action.runs.steps.find((one) => one.name === name)!;
  const known: Readonly<Record<string, string>> = {
    'github.event.pull_request.base.sha': base,
    'github.event.pull_request.number': '7',
    'github.token': 'token',
    ...Object.fromEntries(
      Object.entries(action.inputs).map(([input, { default: unset }]) => [
        `inputs.${input}`,
        inputs[input] ?? unset,
      ]),
    ),
  };
  const filled = Object.entries(step.env ?? {}).map(([variable, text]) => [
    variable,
    text.replaceAll(/\$\{\{ ([\w.-]+) \}\}/g, (_, expression) => {
      if (known[expression] === undefined) throw new Error(`${name}: ${expression} is not known.`);
      return known[expression];
    }),
  ]);
  return shell(step.run!, folder, {
    GITHUB_ACTION_PATH: actionPath,
    ...Object.fromEntries(filled),
    ...env,
  });
}

const good = completeEngine.replace('title:', 'title: the');
const bad = completeEngine.replace('static_flow: 340', 'static_flow: 120');

describe('the steps of the action', () => {
  test('contain no expression: a name of a branch or an input is never part of a script', () => {
    const scripts = action.runs.steps.flatMap((step) => step.run ?? []);
    expect(scripts.length).toBeGreaterThan(4);
    expect(scripts.filter((script) => script.includes('${{'))).toEqual([]);
  });

  test('install nothing where the program is built', async () => {
    expect(await run('Build', repository(good), {}, { PATH: '/usr/bin:/bin' })).toEqual({
      status: 0,
      stdout: '',
      stderr: '',
    });
  });

  test('pass files that are well and stop what is not', async () => {
    expect(await run('Check', repository(good))).toMatchObject({ status: 0, stderr: '' });
    expect(await run('Check', repository(bad))).toMatchObject({
      status: 1,
      stdout: expect.stringContaining('injector-duty-over-100'),
    });
  });

  test('take the inputs: a path with a blank, and a baseline', async () => {
    const { folder, base } = repository(bad);
    mkdirSync(join(folder, 'no engines'));
    writeFileSync(join(folder, 'no engines', 'b.engine.yaml'), 'enginefile: 1\n');
    const path = 'no engines/b.engine.yaml';
    const elsewhere = await run('Check', { folder, base }, { path });
    expect(elsewhere.stdout).not.toContain('injector-duty-over-100');
    const known = 'node "$GITHUB_ACTION_PATH/dist/enginewright.cjs" check . --write-baseline known.json';
    await shell(known, folder, { GITHUB_ACTION_PATH: actionPath });
    expect((await run('Check', { folder, base }, { baseline: 'known.json' })).status).toBe(0);
  });

  test('annotate new findings and limits, and stop at them', async () => {
    expect(await run('Annotate the change', repository(good))).toMatchObject({ status: 0, stderr: '' });
    const { status, stdout } = await run('Annotate the change', repository(bad));
    expect(status).toBe(1);
    expect(stdout).toMatch(/^::error file=a\.engine\.yaml,line=\d+,.*title=limit-passed::/m);
    expect(stdout).toMatch(/^::error file=a\.engine\.yaml,line=\d+,.*title=injector-duty-over-100::/m);
  });

  test('do not stop at what was there before the change', async () => {
    const also = bad.replace('title:', 'title: the');
    expect((await run('Annotate the change', repository(also, bad))).status).toBe(0);
  });

  test('compare what they check: neither annotate nor tell of a file outside the path', async () => {
    const { folder, base } = repository(bad);
    const git = (...args: string[]) =>
      execFileSync('git', ['-c', 'user.name=a', '-c', 'user.email=a@b', ...args], { cwd: folder });
    mkdirSync(join(folder, 'two engines'));
    const second = completeEngine.replace('controller: ./', 'controller: ../');
    writeFileSync(join(folder, 'two engines', 'b.engine.yaml'), second);
    git('add', '.');
    git('commit', '-qm', 'third');
    for (const [path, status] of [
      ['two engines', 0],
      ['.', 1],
      ['a.engine.yaml', 1],
    ] as const) {
      const [env, place] = [runner(), { folder, base }];
      const annotated = await run('Annotate the change', place, { path }, env);
      expect(annotated, path).toMatchObject({ status, stderr: '' });
      expect((await run('Summarize the change', place, { path }, env)).status, path).toBe(0);
      const page = readFileSync(env.GITHUB_STEP_SUMMARY, 'utf8');
      for (const text of [annotated.stdout, page])
        expect(text.includes('a.engine.yaml'), path).toBe(status === 1);
    }
  });

  test('write the effect of the change on the page of the run', async () => {
    const env = runner();
    const { status, stderr } = await run('Summarize the change', repository(bad), {}, env);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(readFileSync(env.GITHUB_STEP_SUMMARY, 'utf8')).toContain('120 cc/min');
  });

  test('take a failure of the comparison for no finding', async () => {
    const { folder } = repository(bad);
    const shallow = { folder, base: '0123456789012345678901234567890123456789' };
    expect((await run('Annotate the change', shallow)).status).toBe(2);
    expect((await run('Summarize the change', shallow, {}, runner())).status).not.toBe(0);
  });

  test('make SARIF of findings too, but not of a failure', async () => {
    const env = runner();
    expect((await run('Findings as SARIF', repository(bad), {}, env)).status).toBe(0);
    const log = JSON.parse(readFileSync(join(env.RUNNER_TEMP, 'enginewright.sarif'), 'utf8'));
    expect(log).toMatchObject({ version: '2.1.0' });
    const path = 'nowhere.engine.yaml';
    expect((await run('Findings as SARIF', repository(bad), { path }, runner())).status).not.toBe(0);
  });
});

interface Comment {
  readonly id: number;
  readonly user: { readonly type: string };
  body: string;
}

/** Answers as GitHub does for the comments of pull request 7. With `refusal`, nothing can be written. */
async function github(comments: Comment[], refusal?: number) {
  const tokens = new Set<string | undefined>();
  const server = createServer((request, response) => {
    const { pathname, searchParams } = new URL(request.url!, 'http://localhost');
    tokens.add(request.headers.authorization);
    const answer = (status: number, body: unknown) => response.writeHead(status).end(JSON.stringify(body));
    let sent = '';
    request.on('data', (part) => {
      sent += part;
    });
    request.on('end', () => {
      const [, id] = /^\/repos\/team\/engines\/issues\/comments\/(\d+)$/.exec(pathname) ?? [];
      const isThread = pathname === '/repos/team/engines/issues/7/comments';
      if (isThread && request.method === 'GET') {
        const size = Number(searchParams.get('per_page'));
        const from = size * (Number(searchParams.get('page')) - 1);
        answer(200, comments.slice(from, from + size));
      } else if (refusal) answer(refusal, { message: 'Resource not accessible by integration' });
      else if (isThread && request.method === 'POST') {
        comments.push({ id: comments.length, user: { type: 'Bot' }, body: JSON.parse(sent).body });
        answer(201, comments.at(-1));
      } else if (id && request.method === 'PATCH') {
        const found = comments.find((one) => one.id === Number(id))!;
        found.body = JSON.parse(sent).body;
        answer(200, found);
      } else answer(404, { message: `${request.method} ${pathname}` });
    });
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  onTestFinished(() => {
    server.close();
  });
  const { port } = server.address() as AddressInfo;
  const env = { GITHUB_API_URL: `http://127.0.0.1:${port}`, GITHUB_REPOSITORY: 'team/engines' };
  return { env, tokens };
}

describe('the comment on the pull request', () => {
  const comment = async (text: string, env: Readonly<Record<string, string>>) => {
    const temp = folderOf({ 'enginewright.md': text });
    return run('Comment', { folder: temp, base: '' }, {}, { RUNNER_TEMP: temp, ...env });
  };
  const people = (count: number): Comment[] =>
    Array.from({ length: count }, (_, id) => ({ id, user: { type: 'User' }, body: 'Looks good.' }));

  test('is what the comparison says', async () => {
    const comments: Comment[] = [];
    const { env } = await github(comments);
    const all = { ...runner(), ...env };
    const change = repository(bad);
    await run('Summarize the change', change, {}, all);
    expect(await run('Comment', change, {}, all)).toEqual({ status: 0, stdout: '', stderr: '' });
    expect(comments.map(({ body }) => body)).toEqual([expect.stringContaining('120 cc/min')]);
  });

  test('is replaced, wherever it is in the thread', async () => {
    const comments = people(150);
    const { env, tokens } = await github(comments);
    await comment('First.', env);
    comments.push(...people(120).map((one) => ({ ...one, id: one.id + 1000 })));
    expect(await comment('Second.', env)).toEqual({ status: 0, stdout: '', stderr: '' });
    expect(comments.length).toBe(271);
    expect(comments[150]!.body).toMatch(/\nSecond\.$/);
    expect([...tokens]).toEqual(['Bearer token']);
  });

  test('replaces no comment of a person, who could write the same mark', async () => {
    const comments: Comment[] = [];
    const { env } = await github(comments);
    await comment('Ours.', env);
    const theirs = { id: 900, user: { type: 'User' }, body: comments[0]!.body };
    comments.unshift(theirs);
    const before = theirs.body;
    await comment('Ours again.', env);
    expect(theirs.body).toBe(before);
    expect(comments.length).toBe(2);
  });

  test('is missing with a warning where the token may not write, as on a fork', async () => {
    const { env } = await github([], 403);
    expect(await comment('Text.', env)).toMatchObject({
      status: 0,
      stdout: expect.stringMatching(
        /^::warning title=No comment on the pull request::GitHub answered 403: .+\n$/,
      ),
    });
  });

  test('is missing with a warning without a network', async () => {
    const env = { GITHUB_API_URL: 'http://127.0.0.1:1', GITHUB_REPOSITORY: 'team/engines' };
    const { status, stdout } = await comment('Text.', env);
    expect({ status, lines: stdout.trim().split('\n').length }).toEqual({ status: 0, lines: 1 });
    expect(stdout).toMatch(/^::warning /);
  });
});

describe('the workflow', () => {
  const steps = workflow.jobs.check.steps;
  const own = steps.find(({ uses }) => uses.startsWith('OWNER/enginewright@'))!;

  test('runs for every kind of file', () => {
    const { paths } = workflow.on.pull_request;
    expect(paths).toEqual(expect.arrayContaining(FILE_KINDS.map((kind) => `**.${kind}.yaml`)));
  });

  test('passes only inputs that the action has', () => {
    expect(Object.keys(own.with).filter((input) => !action.inputs[input])).toEqual([]);
  });

  test('fetches the history and grants what the action needs', () => {
    expect(steps.find(({ uses }) => uses.startsWith('actions/checkout@'))?.with).toMatchObject({
      'fetch-depth': 0,
    });
    expect(workflow.permissions).toEqual({
      contents: 'read',
      'pull-requests': 'write',
      'security-events': 'write',
    });
  });
});

test('the samples use the current version', () => {
  const { version } = yaml('package.json') as { version: string };
  const config = yaml('samples/automation/.pre-commit-config.yaml') as { repos: { rev: string }[] };
  const used = workflow.jobs.check.steps.map(({ uses }) => uses).find((uses) => uses.startsWith('OWNER/'));
  expect(config.repos[0]?.rev).toBe(`v${version}`);
  expect(used).toBe(`OWNER/enginewright@v${version}`);
});

describe.each(hooks)('the hook $id', ({ entry, files }) => {
  test('runs for our files and for no others', () => {
    const wanted = new RegExp(files);
    expect(FILE_KINDS.every((kind) => wanted.test(`a.${kind}.yaml`) && wanted.test(`x/b.${kind}.yaml`))).toBe(
      true,
    );
    expect(['a.yaml', 'engine.yaml', 'a.engine.yaml.bak'].some((name) => wanted.test(name))).toBe(false);
  });

  test('lets pass what is well, and nothing with an error', async () => {
    const bin = folderOf({});
    symlinkSync(join(actionPath, 'dist/enginewright.cjs'), join(bin, 'enginewright'));
    const PATH = `${bin}${delimiter}${process.env.PATH}`;
    expect((await shell(entry, repository(good).folder, { PATH })).status).toBe(0);
    expect((await shell(entry, repository(bad).folder, { PATH })).status).toBe(1);
  });
});
