import { execFileSync } from 'node:child_process';
import {
  cpSync,
  existsSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { commonFolder } from '../../server/release/sources.ts';
import { sha256 } from '../support/built-image.ts';
import { enginewright, folderOf } from '../support/command-line.ts';
import { sampleText } from '../support/samples.ts';

const file = (folder: string, name: string) => join(folder, name);

/** A sample installation, whose limits all hold. */
const sampleFiles = (change = (text: string) => text) => ({
  'a.engine.yaml': change(sampleText('dotterel/dotterel-16t.engine.yaml')),
  'four-channel.controller.yaml': sampleText('dotterel/four-channel.controller.yaml'),
  'standby.controller.yaml': sampleText('dotterel/standby.controller.yaml'),
});

/** A folder with the sample. */
function sample(change = (text: string) => text) {
  const folder = folderOf(sampleFiles(change));
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

  test('a text of the file stays in its line of the overview', async () => {
    const title = 'Mine\\nRevision:        Z\\e[2J';
    const { folder, engine } = sample((text) => text.replace(/^title: .*/m, `title: "${title}"`));
    const path = file(folder, 'release');
    await enginewright('release', engine, '--output', path);
    const lines = readFileSync(join(path, 'README.txt'), 'utf8').split('\n');
    expect(lines.filter((line) => /^(Engine|Revision):/.test(line))).toEqual([
      'Engine:          Mine Revision: Z\ufffd[2J',
      'Revision:        D',
    ]);
  });

  test('a folder with more than the release is not the release', async () => {
    const { folder, engine } = sample();
    const path = file(folder, 'release');
    const release = () => enginewright('release', engine, '--output', path);
    await release();
    expect((await release()).out).toBe(`${path} already contains this release.\n`);
    const other = {
      status: 2,
      err: expect.stringContaining(`${path} already contains something else; a release is not overwritten.`),
    };
    writeFileSync(file(path, 'extra'), '');
    expect(await release()).toMatchObject(other);
    rmSync(file(path, 'extra'));
    rmSync(file(path, 'README.txt'));
    execFileSync('mkfifo', [file(path, 'README.txt')]);
    expect(await release()).toMatchObject(other);
    rmSync(file(path, 'manifest.json'));
    expect(await release()).toMatchObject(other);
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

test('an error in the controller file of a standby refuses the image and the release', async () => {
  const { folder, engine } = sample();
  const standby = file(folder, 'standby.controller.yaml');
  const text = sampleText('dotterel/standby.controller.yaml');
  writeFileSync(standby, `${text}storage: { size: 16 byte }\n`);
  const path = file(folder, 'release');
  const refused = await enginewright('release', engine, '--output', path);
  expect([refused.status, existsSync(path)]).toEqual([1, false]);
  expect(refused.err).toMatch(/standby\.controller\.yaml:\d+:\d+: .*byte_order.*\[missing-key\]/);
  const image = await enginewright('image', engine);
  expect([image.status, image.out]).toEqual([1, '']);
  expect(image.err).toContain('standby.controller.yaml');
});

describe('a folder that somebody else has changed, with a manifest that fits', () => {
  let made: string;
  beforeAll(async () => {
    const folder = mkdtempSync(join(tmpdir(), 'enginewright-'));
    for (const [name, text] of Object.entries(sampleFiles())) writeFileSync(file(folder, name), text);
    made = file(folder, 'release');
    await enginewright('release', file(folder, 'a.engine.yaml'), '--output', made);
  });
  afterAll(() => rmSync(dirname(made), { recursive: true, force: true }));

  /** A copy of the release, and a way to change its manifest; digests follow the files. */
  function copied() {
    const folder = folderOf({ 'outside.engine.yaml': 'enginefile: 1\n', 'outside/readme.txt': 'x' });
    const copy = file(folder, 'copy');
    cpSync(made, copy, { recursive: true });
    const path = file(copy, 'manifest.json');
    const rewrite = (change: (manifest: Manifest) => void) => {
      const manifest = JSON.parse(readFileSync(path, 'utf8')) as Manifest;
      change(manifest);
      for (const one of manifest.subject) {
        if (lstatSync(file(copy, one.name), { throwIfNoEntry: false })?.isFile())
          one.digest.sha256 = sha256(readFileSync(file(copy, one.name), 'utf8'));
      }
      writeFileSync(path, JSON.stringify(manifest));
    };
    return { folder, copy, rewrite };
  }
  interface Manifest {
    subject: { name: string; digest: { sha256: string } }[];
    predicate: Record<string, unknown>;
  }
  const engineName = 'sources/a.engine.yaml';

  test('without a change it is whole', async () => {
    const { copy, rewrite } = copied();
    rewrite(() => {});
    expect((await enginewright('verify', copy)).status).toBe(0);
  });

  test.each([
    ['a pipe', (path: string) => execFileSync('mkfifo', [path])],
    ['a link to a folder', (path: string, folder: string) => symlinkSync(file(folder, 'outside'), path)],
    [
      'a link to a file outside',
      (path: string, folder: string) => symlinkSync(file(folder, 'outside.engine.yaml'), path),
    ],
    ['a link to nothing', (path: string) => symlinkSync('nowhere', path)],
  ])('%s is not a regular file, wherever it is', async (_, make) => {
    for (const name of ['README.txt', 'image.hex', engineName]) {
      const { folder, copy } = copied();
      rmSync(file(copy, name));
      make(file(copy, name), folder);
      const { status, out } = await enginewright('verify', copy);
      expect([status, out]).toEqual([1, `${name} is not a regular file.\n`]);
    }
    const { folder, copy } = copied();
    make(file(copy, 'more'), folder);
    make(file(copy, 'manifest.json.sig'), folder);
    expect((await enginewright('verify', copy)).out).toBe(
      'manifest.json.sig is not a regular file.\nmore is not in the manifest.\n',
    );
    rmSync(file(copy, 'manifest.json'));
    make(file(copy, 'manifest.json'), folder);
    const { status, err } = await enginewright('verify', copy);
    expect([status, err]).toEqual([
      2,
      `enginewright: Cannot read ${copy}/manifest.json: it is not a regular file.\n`,
    ]);
  });

  test.each(['../../outside.engine.yaml', './b.engine.yaml'])(
    'the engine file may name only files of the manifest, not %s',
    async (base) => {
      const { copy, rewrite } = copied();
      const text = readFileSync(file(copy, engineName), 'utf8');
      writeFileSync(file(copy, engineName), `based_on: ${base}\n${text}`);
      rewrite(() => {});
      const { status, out } = await enginewright('verify', copy);
      expect([status, out]).toEqual([1, `${engineName} names a file that is not in the manifest.\n`]);
    },
  );

  test.each([
    ['another revision', { revision: 'E' }, `${engineName} has the revision D, the manifest says E.`],
    ['no revision', { revision: null }, `${engineName} has the revision D, the manifest says (none).`],
    [
      'another file',
      { engine_file: '../outside.engine.yaml' },
      '../outside.engine.yaml is not an engine file in the manifest.',
    ],
    [
      'a file of another kind',
      { engine_file: 'sources/standby.controller.yaml' },
      'sources/standby.controller.yaml is not an engine file in the manifest.',
    ],
  ])('the manifest states %s', async (_, change, expected) => {
    const { copy, rewrite } = copied();
    rewrite(({ predicate }) => Object.assign(predicate, change));
    const { status, out } = await enginewright('verify', copy);
    expect([status, out]).toEqual([1, `${expected}\n`]);
  });

  test.each([
    [
      'a name outside the folder',
      (one: Manifest) => ({ ...one, subject: [{ ...one.subject[0]!, name: '../a' }] }),
    ],
    [
      'a name with an escape',
      (one: Manifest) => ({ ...one, subject: [{ ...one.subject[0]!, name: 'a\u001b[2J' }] }),
    ],
    ['a number as revision', (one: Manifest) => ({ ...one, predicate: { ...one.predicate, revision: 4 } })],
    ['no predicate', ({ subject }: Manifest) => ({ subject })],
    ['nothing', () => null],
  ])('a manifest with %s is none', async (_, change) => {
    const { copy } = copied();
    const path = file(copy, 'manifest.json');
    writeFileSync(path, JSON.stringify(change(JSON.parse(readFileSync(path, 'utf8')))));
    const { status, err } = await enginewright('verify', copy);
    expect([status, err]).toEqual([2, `enginewright: ${path} is not the manifest of a release.\n`]);
  });

  test('nothing in the folder controls the terminal', async () => {
    const controls = '\u001b[2J\u009b2J\u202e';
    const raw = /(?!\n)[\p{Cc}\u202e]/u;
    const { copy, rewrite } = copied();
    writeFileSync(file(copy, `a${controls}`), '');
    expect((await enginewright('verify', copy)).out).toMatch(
      /^a\ufffd\[2J\ufffd2J\ufffd is not in the manifest\.$/m,
    );
    rmSync(file(copy, `a${controls}`));
    rewrite(({ predicate }) => Object.assign(predicate, { revision: controls, engine_file: engineName }));
    for (const format of ['text', 'json']) {
      const { status, out } = await enginewright('verify', copy, '--format', format);
      expect([status, raw.test(out)]).toEqual([1, false]);
    }
    rewrite(({ predicate }) => Object.assign(predicate, { engine_file: controls }));
    expect((await enginewright('verify', copy)).out).not.toMatch(raw);
    writeFileSync(file(copy, 'manifest.json'), `${controls}{`);
    const { status, err } = await enginewright('verify', copy);
    expect([status, raw.test(err)]).toEqual([2, false]);
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
