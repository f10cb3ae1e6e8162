import { spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import { describe, expect, test, vi } from 'vitest';
import type { Checked } from '../../server/commands/check-files.ts';
import { checkInThreads } from '../../server/commands/check-threads.ts';
import { projectPath } from '../../server/files.ts';
import { buildIfStale } from '../build.mjs';
import { completeController, completeEngine, enginewright, folderOf } from '../support/command-line.ts';

const bundle = buildIfStale();
const samples = fileURLToPath(new URL('../../samples', import.meta.url));

function checked(...args: readonly string[]) {
  const { status, stdout, stderr } = spawnSync(process.execPath, [bundle, 'check', ...args], {
    encoding: 'utf8',
    maxBuffer: 2 ** 26,
  });
  return { status, stdout, stderr };
}

describe('threads that share the files', () => {
  test('print what one thread prints', () => {
    const one = checked('--threads', '1', '--format', 'json', samples);
    expect(one.stdout).toContain('injectors-too-small.engine.yaml');
    expect(checked('--threads', '2', '--format', 'json', samples)).toEqual(one);
    // By default, as many as the machine has.
    expect(checked('--format', 'json', samples)).toEqual(one);
  });

  test('run the built program, which takes files until there are none', async () => {
    const files = { 'complete.controller.yaml': completeController, 'a.engine.yaml': completeEngine };
    const folder = folderOf(files);
    const paths = Object.keys(files).map((name) => projectPath(join(folder, name)));
    const taken = new Int32Array(new SharedArrayBuffer(4));
    const worker = new Worker(bundle, { workerData: { names: [folder], paths, taken } });
    const results: [index: number, checked: Checked][] = [];
    worker.on('message', (result) => results.push(result));
    await once(worker, 'exit');
    expect(results.map(([index, { files }]) => [index, files[0]!.path])).toEqual([...paths.entries()]);
    expect(taken[0]).toBe(3);
  });

  test('tell of a file that cannot be checked in the same words', () => {
    const files = { 'complete.controller.yaml': completeController, 'a.engine.yaml': completeEngine };
    const folder = folderOf({ ...files, 'b.engine.yaml': '{'.repeat(5000), 'c.engine.yaml': '' });
    const names = [join(folder, 'nowhere.engine.yaml'), folder];
    const one = checked('--threads', '1', ...names);
    expect(one.status).toBe(2);
    expect(checked('--threads', '3', ...names)).toEqual(one);
  });

  test.each(['0', '-1', '1.5', 'two', '100'])('are not %s', async (number) => {
    const { status, err } = await enginewright('check', `--threads=${number}`, samples);
    expect({ status, err }).toEqual({
      status: 2,
      err: `enginewright: '--threads' cannot be '${number}'; use a whole number from 1 to 99.\n`,
    });
  });
});

/** Written by a thread when it dies after taking its file. */
const MARK = 'taken';

vi.mock('../../shared/analysis.ts', async (original) => {
  const { analyse } = await original<typeof import('../../shared/analysis.ts')>();
  const pause = new Int32Array(new SharedArrayBuffer(4));
  return {
    analyse: (...args: Parameters<typeof analyse>) => {
      while (!existsSync(join(dirname(args[1]), MARK))) Atomics.wait(pause, 0, 0, 10);
      return analyse(...args);
    },
  };
});

describe('a thread that dies', () => {
  /** The results for three files if a second thread takes the second file and then does this. */
  async function checkedBeside(deed: string) {
    const folder = folderOf({
      'complete.controller.yaml': completeController,
      'a.engine.yaml': completeEngine,
      'b.engine.yaml': completeEngine,
      'dying.cjs': `
        const { workerData } = require('node:worker_threads');
        while (Atomics.load(workerData.taken, 0) === 0);
        Atomics.add(workerData.taken, 0, 1);
        require('node:fs').writeFileSync(require('node:path').join(__dirname, '${MARK}'), '');
        ${deed}`,
    });
    const names = ['a.engine.yaml', 'b.engine.yaml', 'complete.controller.yaml'];
    const paths = names.map((name) => projectPath(join(folder, name)));
    return checkInThreads([folder], paths, 2, join(folder, 'dying.cjs'));
  }

  test.each([
    ['throws', "throw new Error('no such valve');", 'no such valve'],
    ['ends', 'process.exit(3);', 'a thread ended with exit code 3'],
  ])('because it %s is told of the file that it was at; the rest is checked', async (_, deed, reason) => {
    const [first, second, third] = await checkedBeside(deed);
    expect(first).toMatchObject({ findings: expect.any(Array) });
    expect(second).toBe(`internal error (${reason}). Please report it; your file is not the cause.`);
    expect(third).toMatchObject({ findings: expect.any(Array) });
  });
});
