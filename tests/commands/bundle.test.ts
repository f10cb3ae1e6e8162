import { spawn, spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, test } from 'vitest';
import { buildIfStale } from '../build.mjs';
import { completeController, completeEngine, folderOf } from '../support/command-line.ts';

let bundle: string;
beforeAll(() => {
  bundle = buildIfStale();
}, 60_000);

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
      stderr: 'enginewright: nowhere.engine.yaml cannot be read: there is no such file or folder.\n',
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
  expect(stdout).toContain('no error and no warning');
  expect(stdout).toMatch(/ {2}Injector duty +\d.* %.*\n {4}D = t_i · k \/ t_c\n/);
  expect(stdout).toMatch(/injectors-too-small\.engine\.yaml:\d+:\d+ {2}error {2}injector-duty-over-100\n/);
  expect(stdout).toContain('Why it matters');
}, 60_000);
