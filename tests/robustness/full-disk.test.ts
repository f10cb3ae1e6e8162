import * as fs from 'node:fs';
import { join } from 'node:path';
import { afterEach, expect, test, vi } from 'vitest';
import { writeWhole } from '../../server/whole-file.ts';
import { completeController, completeEngine, enginewright, folderOf } from '../support/command-line.ts';

/** The error code with which the system refuses a write half-way; undefined if it accepts all writes. */
let refusal: string | undefined;

// A test cannot have a full or read-only disk, but it can simulate what the system does then.
vi.mock('node:fs', async (original) => {
  const real = await original<typeof fs>();
  const writeFileSync: typeof fs.writeFileSync = (file, data, options) => {
    if (refusal === undefined || typeof data !== 'string') return real.writeFileSync(file, data, options);
    real.writeFileSync(file, data.slice(0, data.length / 2), options);
    throw Object.assign(new Error(`${refusal}: as the system says it`), { code: refusal });
  };
  return { ...real, writeFileSync };
});

afterEach(() => {
  refusal = undefined;
});

test.each([
  ['ENOSPC', 'the disk is full'],
  ['EROFS', 'the disk is read-only'],
  ['EACCES', 'permission denied'],
])('where the system says %s, the old file stays and nothing half-written is left', (code, words) => {
  const folder = folderOf({ 'report.html': 'old' });
  const path = join(folder, 'report.html');
  refusal = code;
  expect(writeWhole(path, 'what is new')).toBe(`Cannot write ${path}: ${words}.`);
  expect(fs.readdirSync(folder)).toEqual(['report.html']);
  expect(fs.readFileSync(path, 'utf8')).toBe('old');
});

test('a report that finds no room says so, and ends as what could not do its work', async () => {
  const folder = folderOf({
    'a.engine.yaml': completeEngine,
    'complete.controller.yaml': completeController,
    'report.html': 'old',
  });
  const output = join(folder, 'report.html');
  refusal = 'ENOSPC';
  const { status, out, err } = await enginewright(
    'report',
    join(folder, 'a.engine.yaml'),
    '--output',
    output,
  );
  expect({ status, out }).toEqual({ status: 2, out: '' });
  expect(err).toContain('report.html: the disk is full.\n');
  expect(fs.readFileSync(output, 'utf8')).toBe('old');
});

test.skipIf(process.getuid?.() === 0 || process.platform === 'win32')(
  'nothing is written into a folder whose owner took the right away',
  () => {
    const folder = folderOf({ 'report.html': 'old' });
    fs.chmodSync(folder, 0o555);
    try {
      expect(writeWhole(join(folder, 'report.html'), 'new')).toMatch(/Cannot write .*: permission denied\.$/);
      expect(fs.readdirSync(folder)).toEqual(['report.html']);
    } finally {
      fs.chmodSync(folder, 0o755);
    }
  },
);
