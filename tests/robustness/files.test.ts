import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Diagnostic } from 'vscode-languageserver/node';
import { sayings, session } from './session.ts';

const bore = (width: number) => `enginefile: 1\nengine: { bore: ${width} mm }\n`;
const OVERLAY = 'enginefile: 1\nbased_on: ./base.engine.yaml\nengine:\n  stroke: 55 mm\n';
const FILES = { 'base.engine.yaml': bore(80), 'overlay.engine.yaml': OVERLAY };

/** What the hover on the overlay's stroke computes the volume of a cylinder with. */
const cylinder = (width: number) => `· (${width} mm)^2 ·`;

const isMissing = (found: readonly Diagnostic[]) => found.some(({ code }) => code === 'overlay-file-missing');

describe('a file that changes on disk', () => {
  test('is the text of the editor as long as it is open there, and the one on disk afterwards', async () => {
    const { client, uri, open, onDisk, hover } = await session(FILES);
    await open('overlay.engine.yaml', OVERLAY);
    expect(await hover('overlay.engine.yaml', 'stroke')).toContain(cylinder(80));
    await open('base.engine.yaml', bore(90));
    await onDisk('base.engine.yaml', bore(70));
    expect(await hover('overlay.engine.yaml', 'stroke')).toContain(cylinder(90));
    expect(await hover('base.engine.yaml', 'bore')).toContain('90 mm');
    const again = client.findingsAgain(uri('overlay.engine.yaml'));
    await client.close(uri('base.engine.yaml'));
    await again;
    expect(await hover('overlay.engine.yaml', 'stroke')).toContain(cylinder(70));
  });

  test('is read again by what is based on it', async () => {
    const { client, uri, open, onDisk, hover } = await session(FILES);
    await open('overlay.engine.yaml', OVERLAY);
    for (const width of [60, 100, 80]) {
      const again = client.findingsAgain(uri('overlay.engine.yaml'));
      await onDisk('base.engine.yaml', bore(width));
      await again;
      expect(await hover('overlay.engine.yaml', 'stroke')).toContain(cylinder(width));
    }
  });

  test('may be no text at all', async () => {
    const { client, folder, uri, open, onDisk } = await session(FILES);
    await open('overlay.engine.yaml', OVERLAY);
    for (const text of ['\0\x01\x02', '\ufffd\ufffd', '[', '']) {
      const again = client.findingsAgain(uri('overlay.engine.yaml'));
      await onDisk('base.engine.yaml', text);
      expect(isMissing(await again)).toBe(false);
    }
    let again = client.findingsAgain(uri('overlay.engine.yaml'));
    await onDisk('base.engine.yaml', undefined);
    await again;
    mkdirSync(join(folder, 'base.engine.yaml'));
    again = client.findingsAgain(uri('overlay.engine.yaml'));
    await client.tell('workspace/didChangeWatchedFiles', {
      changes: [{ uri: uri('base.engine.yaml'), type: 1 }],
    });
    expect(isMissing(await again)).toBe(true);
  });
});

test('a base that is deleted is missed where it is named, and used again when it is restored', async () => {
  const { client, uri, open, onDisk, hover } = await session(FILES);
  expect(isMissing(await open('overlay.engine.yaml', OVERLAY))).toBe(false);
  for (let i = 0; i < 3; i++) {
    const gone = client.findingsAgain(uri('overlay.engine.yaml'));
    await onDisk('base.engine.yaml', undefined);
    const missing = (await gone).filter(({ code }) => code === 'overlay-file-missing');
    expect(missing.map(({ range }) => range)).toEqual([
      { start: { line: 1, character: 10 }, end: { line: 1, character: 28 } },
    ]);
    expect(await hover('overlay.engine.yaml', 'stroke')).not.toContain('cm3');
    const back = client.findingsAgain(uri('overlay.engine.yaml'));
    await onDisk('base.engine.yaml', bore(80));
    expect(isMissing(await back)).toBe(false);
    expect(await hover('overlay.engine.yaml', 'stroke')).toContain(cylinder(80));
  }
});

describe('two folders in one window', () => {
  const files = { 'one/base.engine.yaml': bore(80), 'two/overlay.engine.yaml': '' };
  const text = OVERLAY.replace('./', '../one/');

  test('know each other, until one of them is closed', async () => {
    const { client, uri, open, hover } = await session(files, { folders: ['one', 'two'] });
    expect(isMissing(await open('two/overlay.engine.yaml', text))).toBe(false);
    expect(await hover('two/overlay.engine.yaml', 'stroke')).toContain(cylinder(80));
    let again = client.findingsAgain(uri('two/overlay.engine.yaml'));
    await client.openFolders([uri('two')]);
    expect(isMissing(await again)).toBe(true);
    again = client.findingsAgain(uri('two/overlay.engine.yaml'));
    await client.openFolders([uri('two'), uri('one')]);
    expect(isMissing(await again)).toBe(false);
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
      expect(sayings(await open(`${name}/overlay.engine.yaml`, OVERLAY))).not.toContainEqual(
        expect.stringContaining('overlay-file-missing'),
      );
      expect(await hover(`${name}/overlay.engine.yaml`, 'stroke')).toContain(cylinder(width));
    }
  });
});
