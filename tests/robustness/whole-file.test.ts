import { fork } from 'node:child_process';
import {
  chmodSync,
  existsSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { describe, expect, test } from 'vitest';
import { writeWhole } from '../../server/whole-file.ts';
import { enginewright, folderOf } from '../support/command-line.ts';

/** Writes a file repeatedly, alternately filled with one letter and with another, until it is stopped. */
const WRITER = `
  import { writeWhole } from './whole-file.ts';
  (async () => {
    for (let i = 0; writeWhole(process.argv[2], 'abc'[i % 3].repeat(3e5)) === undefined; i++) {
      if (i === 3) process.send('begun');
      await new Promise((resolve) => setImmediate(resolve));
    }
  })();
`;

describe('a file is written whole or not at all', () => {
  test('and nothing else is left beside it', () => {
    const folder = folderOf({ 'report.html': 'old' });
    expect(writeWhole(join(folder, 'report.html'), 'new')).toBeUndefined();
    expect(writeWhole(join(folder, 'first.html'), 'new')).toBeUndefined();
    expect(readdirSync(folder)).toEqual(['first.html', 'report.html']);
    expect(readFileSync(join(folder, 'report.html'), 'utf8')).toBe('new');
  });

  test('where it cannot be, the reason is a sentence and all stays as it was', () => {
    const folder = folderOf({ file: 'old' });
    mkdirSync(join(folder, 'folder'));
    expect(writeWhole(join(folder, 'folder'), 'new')).toMatch(/Cannot write .*folder: it is a folder\.$/);
    expect(writeWhole(join(folder, 'file', 'below'), 'new')).toMatch(/a part of its path is not a folder\.$/);
    expect(writeWhole(join(folder, 'no', 'such'), 'new')).toMatch(/no such file or folder\.$/);
    expect(writeWhole(join(folder, 'x'.repeat(300)), 'new')).toMatch(/the name is too long\.$/);
    expect(readdirSync(folder)).toEqual(['file', 'folder']);
    expect(readFileSync(join(folder, 'file'), 'utf8')).toBe('old');
  });

  test('behind a link, which stays one', () => {
    const folder = folderOf({ 'real.html': 'old' });
    symlinkSync('real.html', join(folder, 'link.html'));
    expect(writeWhole(join(folder, 'link.html'), 'new')).toBeUndefined();
    expect(lstatSync(join(folder, 'link.html')).isSymbolicLink()).toBe(true);
    expect(readFileSync(join(folder, 'real.html'), 'utf8')).toBe('new');
  });

  test('not behind a link that leads nowhere, and the link stays', () => {
    const folder = folderOf({});
    symlinkSync('gone.html', join(folder, 'link.html'));
    expect(writeWhole(join(folder, 'link.html'), 'new')).toMatch(/it is a link to a missing file\.$/);
    expect(lstatSync(join(folder, 'link.html')).isSymbolicLink()).toBe(true);
    expect(readdirSync(folder)).toEqual(['link.html']);
  });

  test.skipIf(process.platform === 'win32')('and whoever could read the old one can read the new one', () => {
    const folder = folderOf({ secret: 'old', shared: 'old' });
    for (const [name, mode] of [
      ['secret', 0o600],
      ['shared', 0o666],
    ] as const) {
      chmodSync(join(folder, name), mode);
      expect(writeWhole(join(folder, name), 'new')).toBeUndefined();
      expect(statSync(join(folder, name)).mode & 0o777).toBe(mode);
    }
  });

  test('whenever somebody reads it, and though the writer is killed', async () => {
    const folder = folderOf({ 'big.txt': 'a'.repeat(3e5) });
    const [path, program] = [join(folder, 'big.txt'), join(folder, 'writer.cjs')];
    const stdin = { contents: WRITER, resolveDir: fileURLToPath(new URL('../../server', import.meta.url)) };
    await build({ stdin, bundle: true, platform: 'node', format: 'cjs', outfile: program });
    const writer = fork(program, [path], { stdio: 'ignore' });
    const ended = new Promise((resolve) => writer.on('close', resolve));
    await new Promise((resolve) => writer.once('message', resolve));
    const seen = new Set<string>();
    for (let i = 0; i < 100; i++) {
      const text = readFileSync(path, 'utf8');
      expect(text).toHaveLength(3e5);
      expect(text.replaceAll(text[0]!, '')).toBe('');
      seen.add(text[0]!);
      if (i === 70) writer.kill('SIGKILL');
    }
    await ended;
    expect(seen.size).toBeGreaterThan(1);
    expect(readFileSync(path, 'utf8')).toHaveLength(3e5);
  });
});

test('a report of what cannot be read leaves an older report alone', async () => {
  const folder = folderOf({ 'report.html': 'old' });
  const output = join(folder, 'report.html');
  const { status } = await enginewright('report', join(folder, 'gone.engine.yaml'), '--output', output);
  expect(status).toBe(2);
  expect(readFileSync(output, 'utf8')).toBe('old');
  writeFileSync(join(folder, 'a.engine.yaml'), 'enginefile: 1\n');
  const baseline = join(folder, 'baseline.json');
  await enginewright('check', join(folder, 'gone.engine.yaml'), '--write-baseline', baseline);
  expect(existsSync(baseline)).toBe(false);
});
