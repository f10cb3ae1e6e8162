import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { rowsOf } from '../../client/memory-panel/view/rows.ts';
import type { MemoryView } from '../../server/features/memory-view-types.ts';
import type { ImageTextsAnswer, ReviewAnswer } from '../../server/protocol.ts';
import { FakeEditor } from './fake-editor.ts';

const ENGINE = `enginefile: 1
title: Test engine
revision: B
controller: ./case.controller.yaml
engine: { idle_speed: 1304 rpm }
fuel:
  injectors: { static_flow: 350 cc/min }
  warm_up_enrichment:
    x: { quantity: coolant_temperature, unit: °C, breakpoints: [-20, 80] }
    unit: "%"
    values: [170, 100]
`;
const CONTROLLER = `controllerfile: 1
pins: {}
storage:
  byte_order: little
  base_address: 0x1000
  size: 128 byte
  identity: { at: 0, length: 16 byte }
  checksum: { kind: crc-32, at: 124, over: 0..123 }
  fields:
    engine.idle_speed: { at: 16, type: u8, scale: 10 rpm }
    fuel.injectors.static_flow: { at: 18, type: u16, scale: 0.1 cc/min }
    fuel.warm_up_enrichment: { at: 20, type: u8, scale: 1 %, columns: 4, x_at: 24, x_type: i8 }
`;
const URI = 'file:///shop/case.engine.yaml';
const textDocument = { uri: URI };

async function editorWith(engine = ENGINE, controller = CONTROLLER): Promise<FakeEditor> {
  const fake = new FakeEditor({ '/shop/case.engine.yaml': engine, '/shop/case.controller.yaml': controller });
  await fake.start();
  await fake.open(engine, URI);
  return fake;
}

const viewOf = async (engine?: string, controller?: string) => {
  const fake = await editorWith(engine, controller);
  const view = (await fake.ask('enginewright/memoryView', { textDocument })) as MemoryView;
  await fake.stop();
  return view;
};

/** All bytes of an image whose free bytes are erased. */
function imageBytes({ size, rows }: MemoryView): Buffer {
  const bytes = Buffer.alloc(size, 0xff);
  for (const row of rows) bytes.set(Buffer.from(row.bytes, 'hex'), row.at);
  return bytes;
}

test('the panel is told every byte, what it belongs to, and where that is written', async () => {
  const view = await viewOf();
  expect(view.summary).toMatch(/^128 bytes from 0x1000, digest [\da-f]{12}$/);
  expect(view.problems).toEqual([]);
  expect(view.regions.map(({ label, kind, start, end }) => [label, kind, start, end])).toEqual([
    ['identity', 'identity', 0, 16],
    ['engine.idle_speed', 'values', 16, 17],
    ['fuel.injectors.static_flow', 'values', 18, 20],
    ['fuel.warm_up_enrichment', 'values', 20, 24],
    ['fuel.warm_up_enrichment, x axis', 'axis', 24, 28],
    ['checksum', 'checksum', 124, 128],
  ]);
  const [idle] = view.regions[1]!.cells;
  expect(idle).toMatchObject({ at: 16, bytes: 1, text: '1304 rpm, stored as 130, kept as 1300 rpm' });
  expect(idle!.place).toMatchObject({ uri: URI, range: { start: { line: 4 } } });
  expect(view.regions[3]!.cells.map(({ text }) => text)).toEqual([
    '170 %, stored as 170',
    '100 %, stored as 100',
  ]);
});

test('free rows are drawn as one, unused places as part of their field, and shared bytes with both', async () => {
  const rows = rowsOf(await viewOf());
  expect(rows.map(({ type, at }) => [type, at])).toEqual([
    ['bytes', 0],
    ['bytes', 16],
    ['free', 32],
    ['bytes', 112],
  ]);
  const row = rows[1]!;
  const bytes = row.type === 'bytes' ? row.bytes : [];
  expect(bytes.map(({ regions }) => regions.length)).toEqual([1, 0, ...Array(10).fill(1), 0, 0, 0, 0]);
  expect(bytes.slice(4, 8).map(({ cell }) => cell !== undefined)).toEqual([true, true, false, false]);
  const shared = rowsOf(await viewOf(ENGINE, CONTROLLER.replace('at: 18', 'at: 19')))[1]!;
  expect(shared.type === 'bytes' && shared.bytes[4]!.regions.length).toBe(2);
});

test('what is beyond the image is a problem, and nothing of it is drawn', async () => {
  const fields = (at: string) => CONTROLLER.replace('at: 20, type: u8', `at: ${at}, type: f64, rows: 1024`);
  const across = await viewOf(ENGINE, fields('100'));
  expect(across.problems[0]!.message).toMatch(/ends beyond the image/);
  expect(across.regions.map(({ start, end }) => [start, end])).toContainEqual([100, 128]);
  for (const at of ['128', '9007199254740991']) {
    const view = await viewOf(ENGINE, fields(at));
    expect(view.problems.map(({ message }) => message).join()).toMatch(/ends beyond the image/);
    expect(view.regions.map(({ label }) => label)).not.toContain('fuel.warm_up_enrichment');
    expect(view.rows.every(({ at, bytes }) => at + bytes.length / 2 <= 128)).toBe(true);
    expect(rowsOf(view).map(({ type }) => type)).toEqual(['bytes', 'bytes', 'free', 'bytes']);
  }
});

test('a large image is as long as what is stored in it, up to a limit', async () => {
  const sized = (size: string, more = '') =>
    CONTROLLER.replace('128 byte', size).replace('columns: 4', `columns: 4${more}`);
  const sparse = await viewOf(ENGINE, sized('67108864 byte'));
  expect([sparse.size, sparse.rows.length, sparse.left]).toEqual([67_108_864, 3, 0]);
  expect(rowsOf(sparse).at(-1)).toEqual({ type: 'free', at: 128, end: 67_108_864 });
  const full = await viewOf(
    ENGINE,
    sized('67108864 byte', ', rows: 1024').replace('columns: 4', 'columns: 1024'),
  );
  expect([full.rows.length, rowsOf(full).at(-1)]).toEqual([
    8192,
    { type: 'left', at: 8192 * 16, rows: full.left },
  ]);
  // 20 bytes and 1024 x 1024 values.
  expect(full.left).toBe((1024 * 1024) / 16 + 2 - 8192);
});

test('regions of any size are drawn within the rows', () => {
  const region = { label: 'x', kind: 'values', place: null, cells: [] } as const;
  const rows = rowsOf({
    ...{ title: '', base: 0, summary: '', problems: [], left: 0, size: 40 },
    rows: [
      { at: 16, bytes: '00'.repeat(16) },
      { at: 32, bytes: '00'.repeat(8) },
    ],
    regions: [
      { ...region, start: -1e9, end: 18 },
      { ...region, start: 17, end: 1e15 },
      { ...region, start: 1e12, end: 1e15 },
    ],
  });
  expect(rows.map(({ type, at }) => [type, at])).toEqual([
    ['free', 0],
    ['bytes', 16],
    ['bytes', 32],
  ]);
  const counts = rows.flatMap((row) =>
    row.type === 'bytes' ? row.bytes.map((one) => one.regions.length) : [],
  );
  expect(counts).toEqual([1, 2, ...Array(22).fill(1)]);
});

test('a fault of the build is shown with its place', async () => {
  const view = await viewOf(ENGINE.replace('1304 rpm', '5000 rpm'));
  expect(view.problems).toMatchObject([
    { message: expect.stringContaining('5000 rpm, which its field cannot store'), place: { uri: URI } },
  ]);
});

test('the review shows the text against an image', async () => {
  const fake = await editorWith();
  const view = (await fake.ask('enginewright/memoryView', { textDocument })) as MemoryView;
  const bytes = imageBytes(view);
  bytes.writeUInt16LE(3452, 18);
  const asked = { textDocument, name: 'image.bin', contents: bytes.toString('base64') };
  const answer = (await fake.ask('enginewright/imageTexts', asked)) as ImageTextsAnswer;
  expect(answer).toMatchObject({ matches: false, notes: [expect.stringMatching(/^The crc-32 at 0x007C/)] });
  expect(answer.texts.find(({ uri }) => uri === URI)!.text).toBe(
    ENGINE.replace('350 cc/min', '345.2 cc/min'),
  );
  const committed = answer.texts.map((one) => ({ ...one, state: 'committed' }));
  const review = (await fake.ask('enginewright/review', { textDocument, committed })) as ReviewAnswer;
  expect(review.review!.oldValues.map(({ text }) => text)).toEqual(['was 345.2 cc/min']);
  const same = (await fake.ask('enginewright/imageTexts', {
    ...asked,
    contents: imageBytes(view).toString('base64'),
  })) as ImageTextsAnswer;
  expect(same).toMatchObject({ matches: true, notes: [] });
  const broken = (await fake.ask('enginewright/imageTexts', { ...asked, name: 'a.hex' })) as ImageTextsAnswer;
  expect(broken.problem).toMatch(/^a\.hex, line 1: a record must begin with/);
  await fake.stop();
});

test('a hint tells what the controller keeps where the rounding matters', async () => {
  const fake = await editorWith();
  const range = { start: { line: 0, character: 0 }, end: { line: 20, character: 0 } };
  const hints = (await fake.ask('textDocument/inlayHint', { textDocument, range })) as {
    label: { value: string }[];
    position: { line: number };
  }[];
  const texts = hints.map(({ label, position }) => [position.line, label.map(({ value }) => value).join('')]);
  expect(texts.filter(([, text]) => String(text).includes('kept'))).toEqual([
    [4, expect.stringContaining('kept as 1300 rpm')],
  ]);
  await fake.stop();
});

test('the palette of the panel has a style for each colour', () => {
  const css = readFileSync(
    new URL('../../client/memory-panel/view/memory-panel.css', import.meta.url),
    'utf8',
  );
  for (const i of [0, 1, 2, 3, 4]) expect(css).toContain(`.colour-${i} {`);
});
