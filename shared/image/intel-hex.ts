/**
 * Intel HEX. Why no library: nrf-intel-hex 1.4.0 refuses records that cross 64 KiB, drops start addresses without a word
 * and reads no S-records; intel-hex 0.2.0 allocates memory from address zero (measured). Reading and writing both formats
 * is some 200 lines. Source: Intel, Hexadecimal Object File Format Specification, Revision A, 1988.
 */
import { hexByte, type ImageFault, type Memory } from './memory.ts';
import { bytesOfNumber, RecordLines, sumOfBytes } from './records.ts';

const TYPE = { data: 0, end: 1, segment: 2, startSegment: 3, linear: 4, startLinear: 5 } as const;

/** The number of data bytes of each record type except data. */
const LENGTHS: readonly (number | undefined)[] = [undefined, 0, 2, 4, 2, 4];

/** The addresses of data records: an offset in a segment of 64 KiB, or added to a linear base address. */
interface Base {
  readonly address: number;
  readonly isSegment: boolean;
}

/** Reads the records of a file into a memory; the first fault ends the reading. */
export function readIntelHex(contents: Uint8Array, memory: Memory): ImageFault | undefined {
  const lines = new RecordLines(contents);
  let base: Base = { address: 0, isSegment: false };
  let end: number | undefined;
  while (lines.next()) {
    if (end !== undefined) return lines.fault(`there is a record after the end record in line ${end}`);
    const wrong = decodeRecord(lines);
    if (wrong !== undefined) return lines.fault(wrong);
    const { bytes } = lines;
    const type = bytes[3]!;
    if (type === TYPE.end) end = lines.number;
    else if (type === TYPE.segment) base = { address: lines.numberAt(4, 2) * 16, isSegment: true };
    else if (type === TYPE.linear) base = { address: lines.numberAt(4, 2) * 0x1_0000, isSegment: false };
    else if (type === TYPE.data) {
      const offset = lines.numberAt(1, 2);
      for (let i = 0; i < bytes[0]!; i++) {
        const fault = memory.put(addressOf(base, offset + i), bytes[4 + i]!, lines.number);
        if (fault) return fault;
      }
    }
  }
  return end === undefined ? lines.cutShort : undefined;
}

/** In a segment, an offset starts again at 64 KiB; a linear address starts again at 4 GiB. */
const addressOf = ({ address, isSegment }: Base, offset: number): number =>
  isSegment ? address + (offset % 0x1_0000) : (address + offset) % 0x1_0000_0000;

const COLON = 0x3a;

/** Decodes the record in the current line; returns what is wrong with it. */
function decodeRecord(lines: RecordLines): string | undefined {
  if (lines.code(0) !== COLON) return 'a record must begin with `:`';
  if (!lines.decode(1) || lines.length < 5) return 'this is not a record of hexadecimal digits';
  const { bytes, stated, length } = lines;
  const [count, , , type] = bytes as unknown as [number, number, number, number];
  if (count !== length - 5) return `the record states ${count} data bytes and has ${length - 5}`;
  const sum = -lines.sum & 0xff;
  if (stated !== sum) return `the checksum is ${hexByte(stated)} and must be ${hexByte(sum)}`;
  if (type >= LENGTHS.length) return `record type ${hexByte(type)} is not defined`;
  const wanted = LENGTHS[type];
  if (wanted === undefined || count === wanted) return undefined;
  return `a record of type ${hexByte(type)} has ${wanted} data bytes, not ${count}`;
}

/** Data bytes in a record. */
const RECORD_BYTES = 16;

/** Bytes at an address as records with extended linear addresses. */
export function intelHexText(bytes: Uint8Array, base: number): string {
  const lines: string[] = [];
  let upper = 0;
  for (let at = 0; at < bytes.length; ) {
    const address = base + at;
    const above = Math.floor(address / 0x1_0000);
    if (above !== upper) lines.push(recordText(TYPE.linear, 0, bytesOfNumber(above, 2)));
    upper = above;
    const offset = address % 0x1_0000;
    const end = Math.min(bytes.length, at + RECORD_BYTES, at + 0x1_0000 - offset);
    lines.push(recordText(TYPE.data, offset, [...bytes.subarray(at, end)]));
    at = end;
  }
  return `${[...lines, recordText(TYPE.end, 0, [])].join('\n')}\n`;
}

function recordText(type: number, offset: number, data: readonly number[]): string {
  const bytes = Uint8Array.of(data.length, ...bytesOfNumber(offset, 2), type, ...data);
  return `:${Array.from(bytes, hexByte).join('')}${hexByte(-sumOfBytes(bytes) & 0xff)}`;
}
