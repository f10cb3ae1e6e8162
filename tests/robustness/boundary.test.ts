import { mkdirSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Diagnostic } from 'vscode-languageserver/node';
import manifest from '../../package.json';
import { isInside } from '../../server/boundary.ts';
import { resolvePath } from '../../shared/configuration/project.ts';
import { enginewright, folderOf } from '../support/command-line.ts';
import { sayings, session } from './session.ts';

const BASE = 'engine: { bore: 80 mm, stroke: 50 mm }\n';
const basedOn = (path: string) => `enginefile: 1\nbased_on: ${path}\nengine:\n  stroke: 55 mm\n`;

const FILES = {
  'open/a.engine.yaml': '',
  'open/below/base.engine.yaml': BASE,
  'elsewhere/base.engine.yaml': BASE,
  'elsewhere/unit.controller.yaml': 'controllerfile: 1\n',
};

/** The message about the base file, and its position in the text. */
const ofBase = (found: readonly Diagnostic[]) =>
  found
    .filter(({ code }) => code === 'overlay-file-missing')
    .map(({ message, range }) => ({ message, line: range.start.line, from: range.start.character }));

const refused = [
  {
    line: 1,
    from: 'based_on: '.length,
    message: expect.stringContaining('is outside the open folders'),
  },
];

describe('in the editor a path in a file leads out of the open folders only where the user allows it', () => {
  test('not upwards, and the place says so', async () => {
    const { open } = await session(FILES, { folders: ['open'] });
    expect(ofBase(await open('open/a.engine.yaml', basedOn('../elsewhere/base.engine.yaml')))).toEqual(
      refused,
    );
  });

  test('not by an absolute path, and not to a file that is not there: nobody learns which it is', async () => {
    const { folder, open } = await session(FILES, { folders: ['open'] });
    const there = join(folder, 'elsewhere/base.engine.yaml');
    expect(ofBase(await open('open/a.engine.yaml', basedOn(there)))).toEqual(refused);
    expect(ofBase(await open('open/b.engine.yaml', basedOn(`${folder}/gone.engine.yaml`)))).toEqual(refused);
  });

  test('not through a link', async () => {
    const { folder, open } = await session(FILES, { folders: ['open'] });
    symlinkSync(join(folder, 'elsewhere/base.engine.yaml'), join(folder, 'open/link.engine.yaml'));
    symlinkSync(join(folder, 'elsewhere'), join(folder, 'open/way'));
    expect(ofBase(await open('open/a.engine.yaml', basedOn('./link.engine.yaml')))).toEqual(refused);
    expect(ofBase(await open('open/b.engine.yaml', basedOn('./way/base.engine.yaml')))).toEqual(refused);
  });

  test('not to a controller', async () => {
    const { open } = await session(FILES, { folders: ['open'] });
    const found = await open('open/a.engine.yaml', 'controller: ../elsewhere/unit.controller.yaml\n');
    expect(sayings(found)).toContainEqual(
      expect.stringMatching(/^controller-file-missing: .*is outside the open folders/),
    );
  });

  test('inside them wherever it likes, also where a folder is opened by a link to it', async () => {
    const { folder, client, uri, open } = await session(FILES, { folders: ['open', 'linked'] });
    symlinkSync(join(folder, 'open'), join(folder, 'linked'));
    for (const name of ['open/a.engine.yaml', 'linked/b.engine.yaml']) {
      expect(ofBase(await open(name, basedOn('./below/base.engine.yaml')))).toEqual([]);
    }
    const missing = await open('open/c.engine.yaml', basedOn('./gone.engine.yaml'));
    expect(ofBase(missing)[0]?.message).toContain('does not exist');
    expect(client.published.has(uri('open/c.engine.yaml'))).toBe(true);
  });

  test('where the user allows it', async () => {
    let filesOutsideWorkspace = false;
    const settings = () => ({ filesOutsideWorkspace });
    const { client, uri, open, hover } = await session(FILES, { folders: ['open'], settings });
    const name = 'open/a.engine.yaml';
    expect(ofBase(await open(name, basedOn('../elsewhere/base.engine.yaml')))).toEqual(refused);
    filesOutsideWorkspace = true;
    await client.tell('workspace/didChangeConfiguration', { settings: null });
    await expect.poll(() => ofBase(client.published.get(uri(name))!), { timeout: 30_000 }).toEqual([]);
    expect(await hover(name, 'stroke')).toContain('cm3');
  });

  test('and only the user can, not a folder for itself', () => {
    const setting = manifest.contributes.configuration.properties['enginewright.filesOutsideWorkspace'];
    expect(setting).toMatchObject({ default: false, scope: 'machine' });
  });
});

test('a path that leads elsewhere as it is written is not even looked at: that might call at another computer', () => {
  const lookedAt: string[] = [];
  const realPath = (path: string) => {
    lookedAt.push(path);
    return path;
  };
  for (const path of ['//far/away/base.engine.yaml', '/shopping/base.engine.yaml', '/shop']) {
    expect(isInside(path, ['/shop'], realPath)).toBe(false);
  }
  expect(lookedAt).toEqual([]);
  expect(isInside('/shop/base.engine.yaml', ['/shop'], realPath)).toBe(true);
  expect(isInside('/shop/base.engine.yaml', ['/'], realPath)).toBe(true);
});

describe('a file has one path, however many slashes lead to it', () => {
  test.each([
    ['.//base.engine.yaml', '/shop/base.engine.yaml'],
    ['below///base.engine.yaml', '/shop/below/base.engine.yaml'],
    ['..//base.engine.yaml', '/base.engine.yaml'],
    ['/other//base.engine.yaml', '/other/base.engine.yaml'],
    // Slashes at the beginning name another computer, which is a different place.
    ['//far/away/base.engine.yaml', '//far/away/base.engine.yaml'],
    ['\\\\far\\away\\base.engine.yaml', '//far/away/base.engine.yaml'],
  ])('%s', (reference, path) => {
    expect(resolvePath('/shop/a.engine.yaml', reference)).toBe(path);
  });

  test('so a file that is based on itself is told so', async () => {
    const folder = folderOf({ 'a.engine.yaml': basedOn('.//a.engine.yaml') });
    expect((await enginewright('check', join(folder, 'a.engine.yaml'))).out).toContain('overlay-cycle');
  });
});

describe('on the command line a path in a file leads out of what the command names only where that is named too', () => {
  const files = {
    'shop/skua/a.engine.yaml': basedOn('../base.engine.yaml'),
    'shop/base.engine.yaml': BASE,
  };

  test('not out of the folder of the file', async () => {
    const folder = folderOf(files);
    const { out } = await enginewright('check', join(folder, 'shop/skua/a.engine.yaml'));
    expect(out.replaceAll(/\s+/g, ' ')).toContain(
      'it is outside the repository or folder of the named files',
    );
  });

  test('to whatever the command names as well', async () => {
    const folder = folderOf(files);
    const own = join(folder, 'shop/skua/a.engine.yaml');
    for (const more of ['shop', 'shop/base.engine.yaml']) {
      expect((await enginewright('check', own, join(folder, more))).out).not.toContain(
        'overlay-file-missing',
      );
    }
  });

  test('anywhere in its repository', async () => {
    const folder = folderOf(files);
    mkdirSync(join(folder, '.git'));
    const { out } = await enginewright('check', join(folder, 'shop/skua'));
    expect(out).not.toContain('overlay-file-missing');
  });

  test('not through a link, not even to say what is there', async () => {
    const folder = folderOf({ ...FILES, 'elsewhere/private.yaml': 'password: hunter2\n' });
    symlinkSync(join(folder, 'elsewhere/private.yaml'), join(folder, 'open/link.engine.yaml'));
    const { status, out, err } = await enginewright('check', join(folder, 'open'));
    expect(status).toBe(2);
    expect(err).toContain('link.engine.yaml was not checked: it is outside');
    expect(out + err).not.toContain('password');
  });
});
