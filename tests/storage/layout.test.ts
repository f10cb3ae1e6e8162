import { expect, test } from 'vitest';
import { readController } from '../../shared/configuration/installation.ts';
import { readSource } from '../../shared/source/source-file.ts';
import {
  addressOf,
  checksumsOf,
  fieldRegions,
  imageSize,
  partsOf,
  regionsOf,
} from '../../shared/storage/layout.ts';

function storage(written: string) {
  const text = `storage:\n${written.replace(/^/gm, '  ')}\n`;
  return readController(readSource('/case.controller.yaml', text)).configuration.storage!;
}

const map = storage(`size: 1 KiB
checksum: { kind: crc-16-ccitt, at: 0x3FE, over: 0x000..0x3FD }
fields:
  ignition.advance: { at: 0x100, type: i16, rows: 3, columns: 4, x_at: 0x20, y_at: 0x40, y_type: f32 }
  engine.idle_speed: { at: 0x10, type: u16 }
  engine.bore: { type: u16 }`);

test('a field takes rows × columns numbers of its type, an axis one for each of them', () => {
  expect(fieldRegions(map).map(({ label, start, end }) => [label, start, end])).toEqual([
    ['`ignition.advance`', 0x100, 0x100 + 3 * 4 * 2],
    ['the x axis of `ignition.advance`', 0x20, 0x20 + 4 * 2],
    ['the y axis of `ignition.advance`', 0x40, 0x40 + 3 * 4],
    ['`engine.idle_speed`', 0x10, 0x12],
  ]);
});

test('rows stand one behind the other', () => {
  const [values, , y] = partsOf(map.fields!['ignition.advance']!);
  expect(addressOf(values!, 0, 1)).toBe(0x102);
  expect(addressOf(values!, 1, 0)).toBe(0x108);
  expect(addressOf(y!, 0, 2)).toBe(0x48);
});

test('the checksum takes the bytes of its kind and covers both ends of its range', () => {
  expect(checksumsOf(map)).toMatchObject([{ start: 0x3fe, end: 0x400, over: { start: 0, end: 0x3fe } }]);
  expect(imageSize(map)).toBe(1024);
});

test('a list of checksums, each with the bytes of its kind, and the identity have their places', () => {
  const many = storage(`size: 64 byte
checksum: [{ kind: sum-16, at: 58, over: 0..57 }, { kind: crc-32c, at: 60, over: 0..59 }]
identity: { at: 4, length: 24 byte }`);
  expect(regionsOf(many).map(({ label, start, end }) => [label, start, end])).toEqual([
    ['the identity', 4, 28],
    ['checksum 1', 58, 60],
    ['checksum 2', 60, 64],
  ]);
});

test('what is half written has no place', () => {
  const empty = storage('checksum: { at: 4 }\nfields: { engine.bore: }');
  expect(fieldRegions(empty)).toEqual([]);
  expect(checksumsOf(empty)).toEqual([]);
  expect(imageSize(empty)).toBeUndefined();
});
