import { expect, test } from 'vitest';
import { readIntelHex } from '../../shared/image/intel-hex.ts';
import { type ImageFault, Memory } from '../../shared/image/memory.ts';
import { readSRecords } from '../../shared/image/s-record.ts';
import cases from './records.json' with { type: 'json' };

interface Case {
  readonly name: string;
  readonly lines: readonly string[];
  readonly expect: { readonly memory?: unknown; readonly error?: string; readonly warning?: string };
  readonly srec_cat_exit?: number;
}

type Reader = (contents: Uint8Array, memory: Memory) => ImageFault | undefined;

const lines = (text: string) => Buffer.from(text, 'latin1');

/** The chunks of memory that a case must give, in the order of their addresses. */
const chunksOf = ({ expect: { memory } }: Case) =>
  ((memory ?? []) as [string, string][]).map(([at, hex]) => ({
    at: Number(at),
    bytes: Buffer.from(hex, 'hex'),
  }));

const readers: readonly [string, Reader, readonly Case[]][] = [
  ['Intel HEX', readIntelHex, cases.intel_hex as readonly Case[]],
  ['S-records', readSRecords, cases.s_records as readonly Case[]],
];

for (const [form, read, all] of readers) {
  test.each(
    all.filter((one) => one.expect.memory && !one.expect.warning).map((one) => [one.name, one] as const),
  )(`${form}: %s`, (_, one) => {
    const chunks = chunksOf(one);
    const [base, last] = [chunks[0]!.at, chunks.at(-1)!];
    const size = last.at + last.bytes.length - base;
    if (size > 0x10_0000) {
      // Both ends of the address space: a layout contains one of them, and the other is named.
      const memory = new Memory({ base: last.at, size: last.bytes.length });
      expect(read(lines(one.lines.join('\n')), memory)?.message).toMatch(/^0x0000 is outside the storage/);
      expect(Buffer.from(memory.bytes).equals(last.bytes)).toBe(true);
      return;
    }
    const memory = new Memory({ base, size });
    expect(read(lines(one.lines.join('\n')), memory)).toBeUndefined();
    for (const { at, bytes } of chunks) {
      expect(Buffer.from(memory.bytes.subarray(at - base, at - base + bytes.length)).equals(bytes)).toBe(
        true,
      );
      expect(memory.has(at - base, bytes.length)).toBe(true);
    }
    expect(memory.missingCount).toBe(size - chunks.reduce((sum, { bytes }) => sum + bytes.length, 0));
    expect(one.srec_cat_exit).toBe(0);
  });

  test.each(
    all.filter((one) => one.expect.error || one.expect.warning).map((one) => [one.name, one] as const),
  )(`${form}: %s is refused, with the line`, (_, one) => {
    const memory = new Memory({ base: 0, size: 16 });
    const fault = read(lines(one.lines.join('\n')), memory);
    expect(fault?.line).toBeGreaterThan(0);
    expect(fault?.message).not.toMatch(/undefined|NaN/);
    // A file without an end record is only a warning for srec_cat; a file that was cut short must not be trusted.
    if (one.expect.error) expect(one.srec_cat_exit).toBe(1);
  });
}

const read = (text: string, size = 16) => readIntelHex(lines(text), new Memory({ base: 0, size }));

test('faults name the line and what is wrong there', () => {
  expect(read(':0100000009F7\n:00000001FF\n')).toEqual({
    line: 1,
    message: 'the checksum is F7 and must be F6',
  });
  expect(read('\n:0200000009F5\n')).toEqual({ line: 2, message: 'the record states 2 data bytes and has 1' });
  expect(read(':020000000102FB\n:020001000304F6\n:00000001FF\n')).toEqual({
    line: 2,
    message: '0x0001 is 03 here and 02 in line 1',
  });
  expect(read(':020000000102FB\n')?.message).toBe(
    'there is no end record, so the file may have been cut short',
  );
  expect(read('')).toEqual({
    line: undefined,
    message: 'there is no end record, so the file may have been cut short',
  });
  expect(read(':02000F000102EC\n:00000001FF\n')?.message).toBe(
    '0x0010 is outside the storage of the controller, 0x0000..0x000F',
  );
});

test('the same byte twice is no contradiction', () => {
  expect(read(':020000000102FB\n:0100010002FC\n:00000001FF\n')).toBeUndefined();
});

test.each([
  ['half a byte', ':0100000009F'],
  ['a longer line than any record', `:FF${'0'.repeat(3000)}`],
  ['another character', ':01000000G9F6'],
  ['blanks before it', ' :0100000009F6'],
  ['an end record with data', ':0100000109F5'],
  ['a byte that is not ASCII', ':0100000009F6\u00ff'],
  ['only a colon', ':'],
])('%s is refused', (_, line) => {
  expect(read(`${line}\n:00000001FF\n`)).toMatchObject({ line: 1 });
});
