import { spawn, spawnSync } from 'node:child_process';
import { closeSync, copyFileSync, existsSync, openSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, test } from 'vitest';
import { buildIfStale } from '../build.mjs';
import { completeController, completeEngine, folderOf } from '../support/command-line.ts';

let bundle: string;
beforeAll(() => {
  bundle = buildIfStale();
});

function start(args: readonly string[], input = '', environment: Record<string, string> = {}) {
  const { FORCE_COLOR: _, NO_COLOR: __, ...inherited } = process.env;
  const env = { ...inherited, ...environment };
  return spawnSync(process.execPath, [bundle, ...args], { input, env, encoding: 'utf8' });
}

/** The program as it is shipped, started as a process. */
describe('the built program', () => {
  test('gives the exit status to the shell', () => {
    const files = { 'complete.controller.yaml': completeController, 'a.engine.yaml': completeEngine };
    expect(start(['check', folderOf(files)]).status).toBe(0);
    const broken = completeEngine.replace('static_flow: 340', 'static_flow: 120');
    expect(start(['check', folderOf({ ...files, 'a.engine.yaml': broken })]).status).toBe(1);
    expect(start(['check', 'nowhere.engine.yaml'])).toMatchObject({
      status: 2,
      stdout: '',
      stderr: 'enginewright: Cannot read nowhere.engine.yaml: no such file or folder.\n',
    });
  });

  test('is coloured where that is asked for', () => {
    expect(start(['--help']).stdout).not.toContain('\x1b');
    expect(start(['--help'], '', { FORCE_COLOR: '1' }).stdout).toContain('\x1b[1m');
  });

  test('ends quietly where the reader has seen enough', async () => {
    const folder = folderOf({
      'complete.controller.yaml': completeController,
      'a.engine.yaml': completeEngine,
    });
    const program = spawn(process.execPath, [bundle, 'derive', join(folder, 'a.engine.yaml')]);
    program.stdout.destroy();
    let errors = '';
    program.stderr.on('data', (data) => {
      errors += data;
    });
    const status = await new Promise((resolve) => program.on('close', resolve));
    expect({ status, errors }).toEqual({ status: 0, errors: '' });
  });

  test.skipIf(!existsSync('/dev/full'))('says so where the disk that takes its output is full', () => {
    const files = { 'complete.controller.yaml': completeController, 'a.engine.yaml': completeEngine };
    const full = openSync('/dev/full', 'w');
    try {
      const command = [bundle, 'derive', join(folderOf(files), 'a.engine.yaml')];
      const { status, stderr } = spawnSync(process.execPath, command, {
        stdio: ['ignore', full, 'pipe'],
        encoding: 'utf8',
      });
      expect({ status, stderr }).toEqual({
        status: 2,
        stderr: 'enginewright: Cannot write the output: the disk is full.\n',
      });
    } finally {
      closeSync(full);
    }
  });

  test('does not end before a slow reader has all of what it says', () => {
    const sample = fileURLToPath(new URL('../../samples/dotterel/dotterel-16t.engine.yaml', import.meta.url));
    const command = '"$1" "$2" derive "$3" --format json | (sleep 2; cat)';
    const { stdout } = spawnSync('sh', ['-c', command, 'sh', process.execPath, bundle, sample], {
      encoding: 'utf8',
    });
    // A pipe holds 64 kB.
    expect(stdout.length).toBeGreaterThan(2 * 65_536);
    expect(JSON.parse(stdout).values.length).toBeGreaterThan(200);
  });

  test('starts where Node can keep no compiled code', () => {
    const noFolder = fileURLToPath(import.meta.url);
    expect(start(['--version'], '', { NODE_COMPILE_CACHE: noFolder })).toMatchObject({
      status: 0,
      stderr: '',
    });
  });

  test('runs as one copied file too', () => {
    const folder = folderOf({
      'complete.controller.yaml': completeController,
      'a.engine.yaml': completeEngine,
    });
    const copy = join(folder, 'copy.cjs');
    copyFileSync(join(dirname(bundle), 'program.cjs'), copy);
    const run = (...args: string[]) => spawnSync(process.execPath, [copy, ...args], { encoding: 'utf8' });
    expect(run('check', folder)).toMatchObject({ status: 0, stderr: '' });
    expect(run('check', '--threads', '2', folder)).toMatchObject({ status: 0, stderr: '' });
  });

  test('serves an editor over standard input and output', async () => {
    const server = spawn(process.execPath, [bundle, 'serve', '--stdio']);
    const send = (message: object) => {
      const body = JSON.stringify({ jsonrpc: '2.0', ...message });
      server.stdin.write(`Content-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`);
    };
    let answers = '';
    server.stdout.on('data', (data) => {
      answers += data;
      if (String(data).includes('"id":1')) send({ id: 2, method: 'shutdown' });
      if (String(data).includes('"id":2')) send({ method: 'exit' });
    });
    send({ id: 1, method: 'initialize', params: { processId: null, rootUri: null, capabilities: {} } });
    const status = await new Promise((resolve) => server.on('close', resolve));
    expect(answers).toMatch(/^Content-Length: \d+\r\n/);
    expect(answers).toContain('"serverInfo":{"name":"enginewright"');
    expect(status).toBe(0);
  });
});

test('the demo shows clean installations, values with formulas, and a fault with its reason', () => {
  const demo = fileURLToPath(new URL('../../samples/demo.mjs', import.meta.url));
  const { status, stdout, stderr } = spawnSync(process.execPath, [demo], { encoding: 'utf8' });
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  expect(stdout).toContain('no errors or warnings');
  expect(stdout).toMatch(/ {2}Injector duty +\d.* %.*\n {4}D = t_i · k \/ t_c\n/);
  expect(stdout).toMatch(/injectors-too-small\.engine\.yaml:\d+:\d+ {2}error {2}injector-duty-over-100\n/);
  expect(stdout).toContain('Why it matters');
});
