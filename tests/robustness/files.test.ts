import { cpSync, mkdirSync, renameSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { type Diagnostic, FileChangeType } from 'vscode-languageserver/node';
import { stampOf } from '../../server/files.ts';
import { folderOf } from '../support/command-line.ts';
import { type Session, session } from './session.ts';

const bore = (width: number) => `enginefile: 1\nengine: { bore: ${width} mm }\n`;
const OVERLAY = 'enginefile: 1\nbased_on: ./base.engine.yaml\nengine:\n  stroke: 55 mm\n';
const FILES = { 'base.engine.yaml': bore(80), 'overlay.engine.yaml': OVERLAY };

/** The stroke from which the hover on the overlay computes the cylinder volume. */
const cylinder = (width: number) => `· (${width} mm)^2 ·`;

/** Waits until the last findings about a missing base file are at the expected positions. */
const missing = ({ client, uri }: Session, name = 'overlay.engine.yaml') =>
  expect.poll(() => isMissing(client.published.get(uri(name)) ?? []), { timeout: 30_000 });

const isMissing = (found: readonly Diagnostic[]) =>
  found.filter(({ code }) => code === 'overlay-file-missing').map(({ range }) => range.start);

const HERE = [{ line: 1, character: 'based_on: '.length }];

describe('a file that changes on disk', () => {
  test('is the text of the editor as long as it is open there, and the one on disk afterwards', async () => {
    const { client, uri, open, onDisk, hover } = await session(FILES);
    await open('overlay.engine.yaml', OVERLAY);
    expect(await hover('overlay.engine.yaml', 'stroke')).toContain(cylinder(80));
    await open('base.engine.yaml', bore(90));
    await onDisk('base.engine.yaml', bore(70));
    expect(await hover('overlay.engine.yaml', 'stroke')).toContain(cylinder(90));
    expect(await hover('base.engine.yaml', 'bore')).toContain('90 mm');
    await client.close(uri('base.engine.yaml'));
    expect(await hover('overlay.engine.yaml', 'stroke')).toContain(cylinder(70));
  });

  test('is read again by what is based on it', async () => {
    const { open, onDisk, hover } = await session(FILES);
    await open('overlay.engine.yaml', OVERLAY);
    for (const width of [60, 100, 80]) {
      await onDisk('base.engine.yaml', bore(width));
      expect(await hover('overlay.engine.yaml', 'stroke')).toContain(cylinder(width));
    }
  });

  test('may be no text at all, and no file', async () => {
    const running = await session(FILES);
    const { client, folder, uri, open, onDisk, hover } = running;
    await open('overlay.engine.yaml', OVERLAY);
    for (const text of ['\0\x01\x02', '\ufffd\ufffd', '[', '']) {
      await onDisk('base.engine.yaml', text);
      expect(await hover('overlay.engine.yaml', 'stroke')).not.toContain('cm3');
      await missing(running).toEqual([]);
    }
    await onDisk('base.engine.yaml', undefined);
    mkdirSync(join(folder, 'base.engine.yaml'));
    await client.tell('workspace/didChangeWatchedFiles', {
      changes: [{ uri: uri('base.engine.yaml'), type: FileChangeType.Created }],
    });
    await missing(running).toEqual(HERE);
  });
});

describe('a file that changes on disk and that no editor watches', () => {
  test('is read again, and what is based on it judged anew without a question', async () => {
    const running = await session(FILES);
    const { folder, open, hover } = running;
    const base = join(folder, 'base.engine.yaml');
    await open('overlay.engine.yaml', OVERLAY);
    const seen = (width: number) =>
      expect
        .poll(() => hover('overlay.engine.yaml', 'stroke'), { timeout: 30_000 })
        .toContain(cylinder(width));
    await seen(80);
    writeFileSync(base, bore(60));
    await seen(60);
    // As most editors save: into a new file beside it first.
    writeFileSync(`${base}.new`, bore(90));
    renameSync(`${base}.new`, base);
    await seen(90);
    rmSync(base);
    await missing(running).toEqual(HERE);
    writeFileSync(base, bore(80));
    await missing(running).toEqual([]);
    await seen(80);
  });

  test('may lie outside the open folders, where the user allows that', async () => {
    const settings = () => ({ filesOutsideWorkspace: true });
    const files = { 'elsewhere/base.engine.yaml': bore(80) };
    const { folder, open, hover } = await session(files, { folders: ['open'], settings });
    const text = OVERLAY.replace('./', '../elsewhere/');
    const seen = (width: number) =>
      expect
        .poll(() => hover('open/overlay.engine.yaml', 'stroke'), { timeout: 30_000 })
        .toContain(cylinder(width));
    await open('open/overlay.engine.yaml', text);
    await seen(80);
    writeFileSync(join(folder, 'elsewhere/base.engine.yaml'), bore(70));
    await seen(70);
  });

  test('has another stamp after each change, and none without a file', () => {
    const path = join(folderOf({ a: '80', other: '70' }), 'a');
    const stamps = [stampOf(path)];
    const changes = [
      () => writeFileSync(path, '90'),
      // Same size as before, and with the modification time set by the program.
      () => {
        cpSync(path.replace(/a$/, 'other'), path);
        utimesSync(path, 1e9, 1e9);
      },
      () => writeFileSync(path, '900'),
      () => rmSync(path),
    ];
    for (const change of changes) {
      change();
      stamps.push(stampOf(path));
    }
    expect(new Set(stamps).size).toBe(changes.length + 1);
    expect(stamps.at(-1)).toBeUndefined();
  });

  test('has one stamp while nothing happens, as soon as it is old enough', async () => {
    const path = join(folderOf({ a: '80' }), 'a');
    const again = async () => {
      const stamp = stampOf(path);
      await new Promise((resolve) => setTimeout(resolve, 20));
      return stamp === stampOf(path);
    };
    await expect.poll(again, { timeout: 30_000 }).toBe(true);
  });
});

test('a base that is deleted is missed where it is named, and used again when it is restored', async () => {
  const running = await session(FILES);
  const { open, onDisk, hover } = running;
  expect(isMissing(await open('overlay.engine.yaml', OVERLAY))).toEqual([]);
  for (let i = 0; i < 3; i++) {
    await onDisk('base.engine.yaml', undefined);
    await missing(running).toEqual(HERE);
    expect(await hover('overlay.engine.yaml', 'stroke')).not.toContain('cm3');
    await onDisk('base.engine.yaml', bore(80));
    await missing(running).toEqual([]);
    expect(await hover('overlay.engine.yaml', 'stroke')).toContain(cylinder(80));
  }
});

test.each([
  'untitled:100%.engine.yaml',
  'file://another-computer/share/a.engine.yaml',
  'file:///a%2Fb.engine.yaml',
  'file:///a%00b.engine.yaml',
  'no address.engine.yaml',
])('a document may have any address, such as %s', async (address) => {
  const { client, open } = await session();
  const text = 'enginefile: 1\nbased_on: ./gone.engine.yaml\n';
  const found = await client.open(address, text);
  expect(isMissing(found)).toEqual(HERE);
  await client.close(address);
  expect(await open('b.engine.yaml', text)).not.toEqual([]);
});

describe('two folders in one window', () => {
  const files = { 'one/base.engine.yaml': bore(80), 'two/overlay.engine.yaml': '' };
  const text = OVERLAY.replace('./', '../one/');

  test('know each other, until one of them is closed', async () => {
    const running = await session(files, { folders: ['one', 'two'] });
    const { client, uri, open, hover } = running;
    const name = 'two/overlay.engine.yaml';
    expect(isMissing(await open(name, text))).toEqual([]);
    expect(await hover(name, 'stroke')).toContain(cylinder(80));
    await client.openFolders([uri('two')]);
    await missing(running, name).toEqual(HERE);
    await client.openFolders([uri('two'), uri('one')]);
    await missing(running, name).toEqual([]);
  });

  test('are told apart where they hold files of the same name', async () => {
    const same = {
      'one/base.engine.yaml': bore(80),
      'two/base.engine.yaml': bore(100),
      'one/overlay.engine.yaml': OVERLAY,
      'two/overlay.engine.yaml': OVERLAY,
    };
    const { open, hover } = await session(same, { folders: ['one', 'two'] });
    for (const [name, width] of [
      ['one', 80],
      ['two', 100],
    ] as const) {
      expect(isMissing(await open(`${name}/overlay.engine.yaml`, OVERLAY))).toEqual([]);
      expect(await hover(`${name}/overlay.engine.yaml`, 'stroke')).toContain(cylinder(width));
    }
  });
});
