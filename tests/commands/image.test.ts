import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { writeEdited } from '../../server/edited-texts.ts';
import type { EditedText } from '../../server/texts-after-edits.ts';
import { completeController, completeEngine, enginewright, folderOf } from '../support/command-line.ts';

const ENGINE = `enginefile: 1
based_on: ./base.engine.yaml
title: Test engine
revision: B
controller: ./a.controller.yaml
engine: { idle_speed: 1300 rpm } # idle
fuel:
  injectors: { static_flow: 350 cc/min, timing: sequential }
  target_lambda:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 6000] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 100, 200] }
    values:
      - [1.00, 0.99]
      - [0.95, 0.90]
      - [0.86, 0.84]
`;
const STORAGE = `storage:
  byte_order: little
  base_address: 0x08001000
  size: 128 byte
  identity: { at: 0, length: 16 byte }
  checksum: { kind: crc-32, at: 124, over: 0..123 }
  fields:
    engine.idle_speed: { at: 16, type: u16, scale: 1 rpm }
    fuel.injectors.static_flow: { at: 18, type: u16, scale: 0.1 cc/min }
    fuel.injectors.timing: { at: 20, type: u8, codes: { sequential: 0, paired: 1 } }
    fuel.target_lambda: { at: 32, type: u16, scale: 0.001, rows: 4, columns: 3, x_at: 64, x_scale: 1 rpm, y_at: 72, y_scale: 0.1 kPa abs }
`;
const CONTROLLER = completeController.replace(/^storage:[\s\S]*/m, STORAGE);

/** A folder with the engine, and the paths of its files. */
function installation(engine = ENGINE, controller = CONTROLLER) {
  const folder = folderOf({
    'a.engine.yaml': engine,
    'base.engine.yaml': completeEngine,
    'a.controller.yaml': controller,
  });
  return { folder, engine: join(folder, 'a.engine.yaml'), controller: join(folder, 'a.controller.yaml') };
}

const file = (folder: string, name: string) => join(folder, name);

/** The image with some bytes changed, as a file. */
async function changedImage(
  { folder, engine }: ReturnType<typeof installation>,
  at: number,
  bytes: readonly number[],
) {
  const path = file(folder, 'changed.bin');
  await enginewright('image', engine, '--output', path);
  const contents = readFileSync(path);
  contents.set(bytes, at);
  writeFileSync(path, contents);
  return path;
}

describe('image', () => {
  test('the listing has exactly the documented keys', async () => {
    const { engine } = installation();
    const { status, out } = await enginewright('image', engine, '--format', 'json');
    expect(status).toBe(0);
    const listing = JSON.parse(out);
    expect(Object.keys(listing)).toEqual([
      'base_address',
      'size',
      'digest',
      'identity',
      'fields',
      'checksums',
    ]);
    expect(listing).toMatchObject({ base_address: 0x08001000, size: 128 });
    expect(listing.identity).toEqual({ at: 0, text: `B ${listing.digest.slice(0, 12)}` });
    const lambda = listing.fields.filter(({ path }: { path: string }) => path === 'fuel.target_lambda');
    expect(lambda).toMatchObject([
      {
        part: 'values',
        at: 32,
        raw: [1000, 990, 950, 900, 860, 840],
        values: [1, 0.99, 0.95, 0.9, 0.86, 0.84],
        unit: '1',
        largest_error: 0,
      },
      { part: 'x', at: 64, raw: [1000, 6000], values: [1000, 6000], unit: 'rpm' },
      { part: 'y', at: 72, bytes: '2C01E803D007D007', raw: [300, 1000, 2000], unit: 'kPa abs' },
    ]);
    expect(listing.fields[2]).toMatchObject({
      path: 'fuel.injectors.timing',
      raw: [0],
      values: ['sequential'],
    });
    expect(listing.checksums).toEqual([{ kind: 'crc-32', at: 124, value: expect.any(Number) }]);
  });

  test('the ending of the name gives the form; all forms hold the same', async () => {
    const { folder, engine } = installation();
    for (const name of ['a.hex', 'a.s37', 'a.srec', 'a.bin']) {
      const { status, err } = await enginewright('image', engine, '--output', file(folder, name));
      expect([status, err]).toEqual([0, '']);
      expect((await enginewright('verify', file(folder, name), engine)).status).toBe(0);
    }
    const hex = readFileSync(file(folder, 'a.hex'), 'utf8').split('\n');
    expect(hex[0]).toBe(':020000040800F2');
    expect(hex.slice(1, 9).every((line) => /^:1010[\dA-F]0 ?00/.test(line))).toBe(true);
    expect(hex.slice(-2)).toEqual([':00000001FF', '']);
    const srec = readFileSync(file(folder, 'a.s37'), 'utf8').split('\n');
    expect(srec[0]).toBe(
      `S00E${'0000'}${Buffer.from('Test engine').toString('hex').toUpperCase()}${srec[0]!.slice(-2)}`,
    );
    expect(srec.slice(-3)).toEqual(['S5030008F4', 'S70500000000FA', '']);
  });

  test('an address that the form cannot state is refused', async () => {
    const { folder, engine } = installation();
    const { status, err } = await enginewright('image', engine, '--output', file(folder, 'a.s19'));
    expect([status, existsSync(file(folder, 'a.s19'))]).toEqual([2, false]);
    expect(err).toMatch(/addresses have 16 bits, and the image ends at 0x800107F/);
  });

  test('with an error in the file nothing is written, and the old image stays', async () => {
    const { folder, engine } = installation(ENGINE.replace('350 cc/min', '7000 cc/min'));
    writeFileSync(file(folder, 'a.hex'), 'old');
    const { status, err } = await enginewright('image', engine, '--output', file(folder, 'a.hex'));
    expect(status).toBe(1);
    expect(err).toMatch(/a\.engine\.yaml:8:\d+: .*value-overflows-storage/);
    expect(readFileSync(file(folder, 'a.hex'), 'utf8')).toBe('old');
    expect(readdirSync(folder).sort()).toEqual([
      'a.controller.yaml',
      'a.engine.yaml',
      'a.hex',
      'base.engine.yaml',
    ]);
  });
});

test.each([
  ['a value', '350 cc/min', '7000 cc/min', 'value-overflows-storage'],
  ['a revision', 'revision: B', 'revision: B12345', 'identity-misfit'],
  ['a revision that is not ASCII', 'revision: B', 'revision: Ü', 'identity-misfit'],
])('%s that cannot be stored is told once', async (_, from, to, rule) => {
  const { engine } = installation(ENGINE.replace(from, to));
  const { status, err } = await enginewright('image', engine);
  const [problem, end, ...more] = err.split('\n');
  expect([status, problem]).toEqual([1, expect.stringContaining(`[${rule}]`)]);
  expect([end, more]).toEqual([`enginewright: no image of ${engine} was written.`, ['']]);
});

test('an error in the controller file refuses the image too', async () => {
  const { engine } = installation(ENGINE, CONTROLLER.replace('over: 0..123', 'over: 0..127'));
  const { status, err } = await enginewright('image', engine);
  expect(status).toBe(1);
  expect(err).toMatch(/a\.controller\.yaml:\d+:\d+: .*\[checksum-range-wrong\]/);
});

describe('verify', () => {
  test('a changed value is named, with what it does to the engine', async () => {
    const own = installation();
    const path = await changedImage(own, 18, [3452 & 0xff, 3452 >> 8]);
    const { status, out } = await enginewright('verify', path, own.engine);
    expect(status).toBe(1);
    expect(out).toMatch(/^fuel\.injectors\.static_flow {2}file 350 cc\/min {2}image 345\.2 cc\/min$/m);
    expect(out).toMatch(/^crc-32 at 0x007C {2}stored 0x[\dA-F]{8} {2}computed 0x[\dA-F]{8}$/m);
    expect(out).toMatch(/What that does to the engine/);
    const json = JSON.parse((await enginewright('verify', path, own.engine, '--format', 'json')).out);
    expect(json).toMatchObject({
      matches: false,
      fields: [
        {
          path: 'fuel.injectors.static_flow',
          part: 'values',
          row: 0,
          column: 0,
          file: 350,
          image: 345.2,
          unit: 'cc/min',
        },
      ],
      checksums: [{ kind: 'crc-32', at: 124 }],
      elsewhere: [],
      comparison: { changes: [{ path: 'fuel.injectors.static_flow' }] },
    });
    expect(json.checksums[0].stored).not.toBe(json.checksums[0].computed);
  });

  test('what a text cannot say is named, and that its effect is not compared', async () => {
    const own = installation();
    // 345.2 cc/min, and a code of no word.
    const path = await changedImage(own, 18, [3452 & 0xff, 3452 >> 8, 7]);
    const unsaid = "'fuel.injectors.timing' is the count 7 in the image, which the text cannot say.";
    const { out } = await enginewright('verify', path, own.engine);
    expect(out).toContain(`\n${unsaid}\n`);
    expect(out).toContain(
      '\nWhat that does to the engine, without the values named above that a text cannot say:\n',
    );
    const both = JSON.parse((await enginewright('verify', path, own.engine, '--format', 'json')).out);
    expect(both).toMatchObject({ unsaid: [unsaid], comparison: { changes: [{}] } });
    expect(both.fields).toHaveLength(2);
    const only = await changedImage(own, 20, [7]);
    const json = JSON.parse((await enginewright('verify', only, own.engine, '--format', 'json')).out);
    expect(json).toMatchObject({ unsaid: [unsaid], comparison: null });
    expect((await enginewright('verify', only, own.engine)).out).not.toContain('What that does');
    const said = await changedImage(own, 18, [3452 & 0xff, 3452 >> 8]);
    expect(
      JSON.parse((await enginewright('verify', said, own.engine, '--format', 'json')).out).unsaid,
    ).toEqual([]);
  });

  test('bytes of no value are named', async () => {
    const own = installation();
    const path = await changedImage(own, 100, [0]);
    const json = JSON.parse((await enginewright('verify', path, own.engine, '--format', 'json')).out);
    expect(json).toMatchObject({
      matches: false,
      fields: [],
      elsewhere: [{ at: 100, file: 'FF', image: '00' }],
      comparison: null,
    });
  });

  test('what cannot be read is said, with its line', async () => {
    const { folder, engine } = installation();
    writeFileSync(file(folder, 'b.hex'), ':00000001FF\n:0100000009F6\n');
    expect(await enginewright('verify', file(folder, 'b.hex'), engine)).toMatchObject({
      status: 2,
      err: expect.stringMatching(/b\.hex:2: there is a record after the end record in line 1\.$/m),
    });
    writeFileSync(file(folder, 'b.bin'), 'short');
    expect((await enginewright('verify', file(folder, 'b.bin'), engine)).err).toMatch(
      /has 5 bytes; .* has 128/,
    );
    expect((await enginewright('verify', folder)).status).toBe(2);
  });

  test('the text may be at a revision', async () => {
    const { folder, engine } = installation();
    const git = (...args: string[]) =>
      execFileSync('git', ['-C', folder, '-c', 'user.name=a', '-c', 'user.email=a@example.org', ...args]);
    git('init', '-q');
    git('add', '.');
    git('commit', '-qm', 'first');
    await enginewright('image', engine, '--output', file(folder, 'a.hex'));
    writeFileSync(engine, ENGINE.replace('1300 rpm', '1250 rpm'));
    const here = process.cwd();
    process.chdir(folder);
    try {
      expect((await enginewright('verify', 'a.hex', 'HEAD:a.engine.yaml')).status).toBe(0);
      expect((await enginewright('verify', 'a.hex', 'a.engine.yaml')).status).toBe(1);
    } finally {
      process.chdir(here);
    }
  });
});

describe('read', () => {
  test('a change at the engine comes home as a patch that git applies; every other byte stays', async () => {
    const own = installation(ENGINE.replaceAll('\n', '\r\n'));
    // 0.95 becomes 0.935, 350 becomes 345.2, sequential becomes paired.
    await changedImage(own, 38, [935 & 0xff, 935 >> 8]);
    const path = file(own.folder, 'changed.bin');
    const contents = readFileSync(path);
    contents.set([3452 & 0xff, 3452 >> 8, 1], 18);
    writeFileSync(path, contents);
    const here = process.cwd();
    process.chdir(own.folder);
    try {
      const { status, out, err } = await enginewright('read', 'changed.bin', '--into', 'a.engine.yaml');
      expect(status).toBe(0);
      expect(err).toMatch(/bytes outside these values differ too/);
      const before = readFileSync('a.engine.yaml', 'utf8');
      execFileSync('git', ['apply', '--unidiff-zero', '-'], { input: out });
      const applied = readFileSync('a.engine.yaml', 'utf8');
      writeFileSync('a.engine.yaml', before);
      await enginewright('read', 'changed.bin', '--into', 'a.engine.yaml', '--write');
      expect(readFileSync('a.engine.yaml', 'utf8')).toBe(applied);
      expect(applied).toBe(
        before.replace('350 cc', '345.2 cc').replace('sequential', 'paired').replace('0.95', '0.935'),
      );
      expect((await enginewright('verify', 'changed.bin', 'a.engine.yaml', '--format', 'json')).out).toMatch(
        /"fields": \[\]/,
      );
    } finally {
      process.chdir(here);
    }
  });

  test('no file is written if one of them cannot be', () => {
    const folder = folderOf({ 'a.engine.yaml': 'was a', 'b.engine.yaml': 'is another' });
    const paths = ['a', 'b', 'c'].map((name) => file(folder, `${name}.engine.yaml`));
    const edit = (path: string) => ({ path, was: `was ${path.at(-13)}`, is: 'is' });
    const [a, b, c] = paths.map(edit) as [EditedText, EditedText, EditedText];
    expect(() => writeEdited([a, b])).toThrow(/b\.engine\.yaml has changed .*nothing was written\.$/);
    expect(() => writeEdited([a, c])).toThrow(/^Cannot read .*c\.engine\.yaml: .*; nothing was written\.$/);
    expect(readFileSync(a.path, 'utf8')).toBe('was a');
    writeEdited([a]);
    expect(readFileSync(a.path, 'utf8')).toBe('is');
  });

  test('a layout whose size is no number of bytes is refused at the number', async () => {
    const { folder, controller } = installation(
      ENGINE,
      CONTROLLER.replace('size: 128 byte', 'size: 127.5 byte'),
    );
    writeFileSync(file(folder, 'a.bin'), new Uint8Array(128));
    const { status, out, err } = await enginewright(
      'read',
      file(folder, 'a.bin'),
      '--controller',
      controller,
    );
    expect([status, out]).toEqual([2, '']);
    expect(err).toMatch(/a\.controller\.yaml:\d+:\d+: '127\.5 byte' is not a whole number of bytes\.$/m);
  });

  test('without an engine file the values are printed as one', async () => {
    const { folder, engine, controller } = installation();
    await enginewright('image', engine, '--output', file(folder, 'a.hex'));
    const { status, out } = await enginewright('read', file(folder, 'a.hex'), '--controller', controller);
    expect(status).toBe(0);
    expect(out.split('\n').slice(1)).toEqual([
      'enginefile: 1',
      'engine:',
      '  idle_speed: 1300 rpm',
      'fuel:',
      '  injectors:',
      '    static_flow: 350 cc/min',
      '    timing: sequential',
      '  target_lambda:',
      '    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 6000] }',
      '    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 100, 200] }',
      '    values:',
      '      - [1, 0.99]',
      '      - [0.95, 0.9]',
      '      - [0.86, 0.84]',
      '',
    ]);
  });
});
