import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { commonFolder } from '../../server/release/sources.ts';
import { enginewright, folderOf } from '../support/command-line.ts';
import { sampleText } from '../support/samples.ts';

const file = (folder: string, name: string) => join(folder, name);

/** A folder with a sample installation, whose limits all hold. */
function sample(change = (text: string) => text) {
  const folder = folderOf({
    'a.engine.yaml': change(sampleText('dotterel/dotterel-16t.engine.yaml')),
    'four-channel.controller.yaml': sampleText('dotterel/four-channel.controller.yaml'),
    'standby.controller.yaml': sampleText('dotterel/standby.controller.yaml'),
  });
  return { folder, engine: join(folder, 'a.engine.yaml') };
}

describe('release', () => {
  test('the same files give the same bytes, in another folder and from another working directory', async () => {
    const own = sample();
    const other = sample();
    const first = file(own.folder, 'release');
    const { status, out, err } = await enginewright(
      'release',
      own.engine,
      '--output',
      first,
      '--format',
      'hex,srec,bin',
    );
    expect([status, err]).toEqual([0, '']);
    expect(out).toMatch(/0 accepted, 0 open/);
    const here = process.cwd();
    process.chdir(other.folder);
    try {
      await enginewright('release', 'a.engine.yaml', '--output', 'r', '--format', 'hex,srec,bin');
    } finally {
      process.chdir(here);
    }
    process.chdir('/');
    try {
      await enginewright(
        'release',
        own.engine,
        '--output',
        file(other.folder, 's'),
        '--format',
        'hex,srec,bin',
      );
    } finally {
      process.chdir(here);
    }
    const names = readdirSync(first, { recursive: true, encoding: 'utf8' }).filter((name) =>
      name.includes('.'),
    );
    expect(names.sort()).toEqual([
      'README.txt',
      'bounds.json',
      'findings.sarif',
      'image.bin',
      'image.hex',
      'image.s37',
      'listing.json',
      'manifest.json',
      'report.html',
      'sources/a.engine.yaml',
      'sources/four-channel.controller.yaml',
      'sources/standby.controller.yaml',
      'values.json',
    ]);
    for (const name of names) {
      const contents = readFileSync(join(first, name));
      for (const made of ['r', 's'])
        expect(contents.equals(readFileSync(join(other.folder, made, name))), `${made}/${name}`).toBe(true);
      expect(contents.includes(own.folder) || contents.includes(other.folder), name).toBe(false);
    }
    expect((await enginewright('verify', first)).status).toBe(0);
    expect(
      (await enginewright('release', own.engine, '--output', first, '--format', 'hex,srec,bin')).status,
    ).toBe(0);
  });

  test('every changed, missing or added file is found', async () => {
    const { folder, engine } = sample();
    const path = file(folder, 'release');
    await enginewright('release', engine, '--output', path);
    const names = readdirSync(path, { recursive: true, encoding: 'utf8' }).filter((name) =>
      name.includes('.'),
    );
    for (const name of names.filter((one) => one !== 'manifest.json')) {
      const contents = readFileSync(join(path, name));
      writeFileSync(join(path, name), Buffer.concat([contents, Buffer.from(' ')]));
      const { status, out } = await enginewright('verify', path);
      expect([name, status]).toEqual([name, 1]);
      expect(out).toContain(`${name} has been changed`);
      writeFileSync(join(path, name), contents);
    }
    writeFileSync(join(path, 'extra.txt'), '');
    expect((await enginewright('verify', path)).out).toBe('extra.txt is not in the manifest.\n');
  });

  test('a manifest that names files outside its folder is no manifest', async () => {
    const { folder, engine } = sample();
    const path = file(folder, 'release');
    await enginewright('release', engine, '--output', path);
    const manifest = readFileSync(join(path, 'manifest.json'), 'utf8');
    writeFileSync(join(path, 'manifest.json'), manifest.replace('"README.txt"', '"../a.engine.yaml"'));
    expect((await enginewright('verify', path)).status).toBe(2);
  });

  test('the overview says revision, accepted findings with reasons, and what is open', async () => {
    const { folder, engine } = sample((text) =>
      text.replace(
        '    static_flow: 350 cc/min',
        '    # accept value-not-representable: bench value, kept as measured\n    static_flow: 350.04 cc/min',
      ),
    );
    const path = file(folder, 'release');
    await enginewright('release', engine, '--output', path);
    const text = readFileSync(join(path, 'README.txt'), 'utf8');
    expect(text).toMatch(/^Revision: +D$/m);
    expect(text).toMatch(/Accepted because: bench value, kept as\s+measured/);
    expect(JSON.parse(readFileSync(join(path, 'manifest.json'), 'utf8')).predicate.accepted).toMatchObject([
      { rule: 'value-not-representable', reason: 'bench value, kept as measured' },
    ]);
  });

  test('a file with errors gets no folder, and another folder is not overwritten', async () => {
    const { folder, engine } = sample((text) =>
      text.replace('idle_speed: 1200 rpm', 'idle_speed: 70000 rpm'),
    );
    const path = file(folder, 'release');
    expect((await enginewright('release', engine, '--output', path)).status).toBe(1);
    writeFileSync(engine, sampleText('dotterel/dotterel-16t.engine.yaml'));
    mkdirSync(path);
    writeFileSync(join(path, 'mine'), '');
    expect((await enginewright('release', engine, '--output', path)).status).toBe(2);
    expect(readdirSync(folder).sort()).toEqual([
      'a.engine.yaml',
      'four-channel.controller.yaml',
      'release',
      'standby.controller.yaml',
    ]);
    expect(readdirSync(path)).toEqual(['mine']);
  });
});

test.each([
  [['/a/b/c.yaml'], '/a/b'],
  [['/a/b/c.yaml', '/a/b/d.yaml'], '/a/b'],
  [['/a/b/c.yaml', '/a/bc/d.yaml'], '/a'],
  [['/a/c.yaml', '/b/d.yaml'], ''],
  [['/c.yaml', '/b/d.yaml'], ''],
  [['/b/c.yaml', '/d.yaml'], ''],
])('the folder that contains %j', (paths, expected) => {
  expect(commonFolder(paths)).toBe(expected);
});
