import { spawnSync } from 'node:child_process';
import { beforeAll, expect, test } from 'vitest';
import { buildIfStale } from '../build.mjs';
import { folderOf } from '../support/command-line.ts';
import { workshopOf } from '../support/large.ts';

let bundle: string;
beforeAll(() => {
  bundle = buildIfStale();
});

const INSTALLATIONS = 200;
/** In MB: a tenth of what all installations of both states would take together. */
const HEAP = 60;

test('two folders of any number of installations are compared in the memory of a few', () => {
  const [was, is] = [0, 1].map((state) => folderOf(workshopOf(INSTALLATIONS, state))) as [string, string];
  const heap = `--max-old-space-size=${HEAP}`;
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    [heap, bundle, 'compare', '--time', '3 s', was, is],
    {
      encoding: 'utf8',
      maxBuffer: 100_000_000,
    },
  );
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  expect(stdout).toMatch(/210 files compared: [\s\S]*\d+ changes, \d+ derived\s+values\s+changed/);
}, 240_000);
