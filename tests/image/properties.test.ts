import { readFileSync } from 'node:fs';
import { array, assert as check, constantFrom, integer, property, string, uint8Array } from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type ImageForm, imageFile, readImage } from '../../shared/image/image-file.ts';
import { Memory } from '../../shared/image/memory.ts';

const FORMS: readonly ImageForm[] = ['hex', 'srec', 'bin'];

const read = (form: ImageForm, contents: Uint8Array, base: number, size: number) =>
  readImage(`x.${form}`, contents, { base, size }, 0);

const written = (form: ImageForm, bytes: Uint8Array, base: number) =>
  imageFile(form, `x.${form}`, { bytes, base, title: 'Test' }) as Uint8Array;

test('what is written in any form is read again, at any address', () => {
  const bases = [0, 1, 0xfff8, 0xffff, 0x1_0000, 0x0804_0000, 0xffff_fe00];
  check(
    property(
      constantFrom(...FORMS),
      constantFrom(...bases),
      uint8Array({ minLength: 1, maxLength: 300 }),
      (form, base, bytes) => {
        const memory = read(form, written(form, bytes, base), base, bytes.length);
        expect('message' in memory ? memory : [...memory.bytes]).toEqual([...bytes]);
      },
    ),
  );
});

test.each(['x', 'x.constructor', 'x.toString', 'x.__proto__', 'x.mot', 'x.S37'])(
  'S-records in a file named %s have addresses of 32 bits',
  (name) => {
    const contents = imageFile('srec', name, { bytes: Uint8Array.of(1), base: 0xffff_ffff, title: '' });
    expect(new TextDecoder().decode(contents as Uint8Array)).toMatch(/^S306FFFFFFFF01/m);
  },
);

describe.each(['hex', 'srec'] as const)('%s', (form) => {
  test('any order of the data records reads the same', () => {
    check(
      property(
        uint8Array({ minLength: 40, maxLength: 200 }),
        array(integer(), { minLength: 20, maxLength: 20 }),
        (bytes, keys) => {
          // Without a record that sets the upper address, and without the count.
          const lines = new TextDecoder()
            .decode(written(form, bytes, 0))
            .trim()
            .split('\n');
          const data = lines.filter((line) => /^(?:S3|:..[\dA-F]{4}00)/.test(line));
          const rest = lines.filter((line) => !data.includes(line));
          const order = data.map((_, i) => i).sort((a, b) => keys[a % 20]! - keys[b % 20]!);
          const text = [...order.map((i) => data[i]!), ...rest].join('\r\n');
          const memory = read(form, new TextEncoder().encode(text), 0, bytes.length);
          expect('message' in memory ? memory : [...memory.bytes]).toEqual([...bytes]);
        },
      ),
    );
  });

  test('every single changed digit is refused or makes no difference in the bytes', () => {
    const bytes = Uint8Array.from({ length: 40 }, (_, i) => (7 * i * i + 3 * i) % 256);
    const text = new TextDecoder().decode(written(form, bytes, 0));
    for (let at = 0; at < text.length; at++) {
      for (const digit of '0123456789ABCDEF:S\n ') {
        if (text[at] === digit) continue;
        const changed = text.slice(0, at) + digit + text.slice(at + 1);
        const memory = read(form, new TextEncoder().encode(changed), 0, bytes.length);
        if (!('message' in memory)) expect([at, digit, ...memory.bytes]).toEqual([at, digit, ...bytes]);
      }
    }
  });

  test('a file that is cut anywhere is refused', () => {
    const bytes = new Uint8Array(40).fill(5);
    const text = new TextDecoder().decode(written(form, bytes, 0)).trimEnd();
    for (let end = 0; end < text.length; end++) {
      expect(read(form, new TextEncoder().encode(text.slice(0, end)), 0, 40)).toHaveProperty('message');
    }
  });

  test('any text ends in a memory or in a fault', () => {
    const line =
      form === 'hex'
        ? string({ unit: constantFrom(...':0123456789ABCDEFabcdef') })
        : string({ unit: constantFrom(...'S0123456789ABCDEF') });
    check(
      property(array(line), (lines) => {
        const memory = read(form, new TextEncoder().encode(lines.join('\n')), 0, 16);
        if ('message' in memory) expect(memory.message).not.toMatch(/undefined|NaN/);
        else expect(memory).toBeInstanceOf(Memory);
      }),
    );
  });

  test('an address of 4 GiB takes no more memory than the layout', () => {
    const lines =
      form === 'hex'
        ? [':02000004FFFFFC', ':01FFFF0000 '.trim().replace('0000', '000001'), ':00000001FF']
        : ['S306FFFFFFFF00FD', 'S70500000000FA'];
    const memory = read(form, new TextEncoder().encode(lines.join('\n')), 0, 16);
    expect(memory).toHaveProperty('message');
  });
});

/**
 * The sample of 60 bytes with a CRC-32 behind it, once as Intel HEX and once as S-records. Source: written by srec_cat 1.64
 * (Debian srecord 1.64-3) from b[i] = (7 i² + 3 i) mod 256 at 0x08000000.
 */
test.each(['sample.hex', 'sample.s37'])('%s of another program is read', (name) => {
  const contents = readFileSync(new URL(name, import.meta.url));
  const memory = readImage(name, contents, { base: 0x0800_0000, size: 64 }, 0xff) as Memory;
  expect([...memory.bytes.subarray(0, 60)]).toEqual(
    Array.from({ length: 60 }, (_, i) => (7 * i * i + 3 * i) % 256),
  );
  expect(Buffer.from(memory.bytes.subarray(60)).toString('hex')).toBe('46f0faa4');
  expect(memory.missingCount).toBe(0);
});

/** Source: the bytes of our own files as srec_cat 1.64 and python3-intelhex 2.3.0 write them, see `written-by.md`. */
test.each([
  ['hex', 'written.hex'],
  ['srec', 'written.s37'],
] as const)('the %s that is written is what other programs write', (form, name) => {
  const bytes = Uint8Array.from({ length: 100 }, (_, i) => (11 * i * i + 5 * i + 1) % 256);
  const contents = new TextDecoder().decode(written(form, bytes, 0x0803_ffc8));
  expect(contents).toBe(readFileSync(new URL(name, import.meta.url), 'utf8'));
});
