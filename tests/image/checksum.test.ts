import { crc32 } from 'node:zlib';
import { assert as check, property, uint8Array } from 'fast-check';
import { expect, test } from 'vitest';
import { type ChecksumKind, checksumBytes, checksumOf } from '../../shared/image/checksum.ts';

const ascii = (text: string) => new TextEncoder().encode(text);

/** Source: check values of the CRC RevEng catalogue, of the ASCII text 123456789; recomputed with crccheck 1.0. */
const CHECK_VALUES: readonly [ChecksumKind, number][] = [
  ['crc-32', 0xcbf43926],
  ['crc-32c', 0xe3069283],
  ['crc-16-ccitt', 0x29b1],
  ['crc-16-modbus', 0x4b37],
  // The sum of the character codes 0x31 to 0x39.
  ['sum-16', 9 * 0x35],
  ['sum-32', 9 * 0x35],
];

test.each(CHECK_VALUES)('%s of 123456789', (kind, value) => {
  expect(checksumOf(kind, ascii('123456789'))).toBe(value);
});

/** Source: AUTOSAR SWS CRC Library, from memory, and recomputed bit by bit. */
const VECTORS: readonly [hex: string, crc32: number][] = [
  ['00000000', 0x2144df1c],
  ['f20183', 0x24ab9d77],
  ['0faa0055', 0xb6c9b287],
  ['332255aabbccddeeff', 0xb0ae863d],
  ['926b55', 0x9cdea29b],
  ['ffffffff', 0xffffffff],
];

test.each(VECTORS)('crc-32 of %s', (hex, value) => {
  expect(checksumOf('crc-32', Buffer.from(hex, 'hex'))).toBe(value);
});

test.runIf(typeof crc32 === 'function')('crc-32 is that of zlib', () => {
  check(property(uint8Array({ maxLength: 300 }), (bytes) => checksumOf('crc-32', bytes) === crc32(bytes)));
});

test('sums keep their low bits', () => {
  const bytes = new Uint8Array(70_000).fill(0xff);
  expect(checksumOf('sum-16', bytes)).toBe((70_000 * 255) % 65_536);
  expect(checksumOf('sum-32', bytes)).toBe(70_000 * 255);
  expect([checksumBytes('sum-16'), checksumBytes('sum-32')]).toEqual([2, 4]);
});
