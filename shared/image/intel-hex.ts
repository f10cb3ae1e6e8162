/**
 * Intel HEX. Why no library: nrf-intel-hex 1.4.0 refuses records that cross 64 KiB, drops start addresses without a word
 * and reads no S-records; intel-hex 0.2.0 allocates memory from address zero (measured). Reading and writing both formats
 * is some 200 lines. Source: Intel, Hexadecimal Object File Format Specification, Revision A, 1988.
 */
import { hexByte, type ImageFault, type Memory } from './memory.ts';
import {
  bigEndian,
  bytesOfDigits,
  bytesOfNumber,
  faultIn,
  type RecordLine,
  recordLines,
  sumOfBytes,
} from './records.ts';

const TYPE = { data: 0, end: 1, segment: 2, startSegment: 3, linear: 4, startLinear: 5 } as const;

/** The number of data bytes of each record type except data. */
const LENGTHS: readonly (number | undefined)[] = [undefined, 0, 2, 4, 2, 4];

/** The addresses of data records: an offset in a segment of 64 KiB, or added to a linear base address. */
interface Base {
  readonly address: number;
  readonly isSegment: boolean;
}

/** Reads the records of a text into a memory; the first fault ends the reading. */
export function readIntelHex(text: string, memory: Memory): ImageFault | undefined {
  let base: Base = { address: 0, isSegment: false };
  let end: number | undefined;
  let last = 0;
  for (const line of recordLines(text)) {
    last = line.number;
    if (end !== undefined) return faultIn(line, `there is a record after the end record in line ${end}`);
    const record = recordOf(line);
    if ('message' in record) return record;
    const { type, offset, data } = record;
    if (type === TYPE.end) end = line.number;
    else if (type === TYPE.segment) base = { address: bigEndian(data) * 16, isSegment: true };
    else if (type === TYPE.linear) base = { address: bigEndian(data) * 0x1_0000, isSegment: false };
    else if (type === TYPE.data) {
      for (let i = 0; i < data.length; i++) {
        const fault = memory.put(addressOf(base, offset + i), data[i]!, line.number);
        if (fault) return fault;
      }
    }
  }
  if (end !== undefined) return undefined;
  return { line: last || undefined, message: 'there is no end record, so the file may have been cut short' };
}

/** In a segment, an offset starts again at 64 KiB; a linear address starts again at 4 GiB. */
const addressOf = ({ address, isSegment }: Base, offset: number): number =>
  isSegment ? address + (offset % 0x1_0000) : (address + offset) % 0x1_0000_0000;

interface HexRecord {
  readonly type: number;
  readonly offset: number;
  readonly data: Uint8Array;
}

function recordOf(line: RecordLine): HexRecord | ImageFault {
  if (line.text[0] !== ':') return faultIn(line, 'a record must begin with `:`');
  const bytes = bytesOfDigits(line.text, 1);
  if (!bytes || bytes.length < 5) return faultIn(line, 'this is not a record of hexadecimal digits');
  const [length, , , type] = bytes as unknown as [number, number, number, number];
  const data = bytes.subarray(4, -1);
  if (length !== data.length) {
    return faultIn(line, `the record states ${length} data bytes and has ${data.length}`);
  }
  const stated = bytes.at(-1)!;
  const sum = -sumOfBytes(bytes.subarray(0, -1)) & 0xff;
  if (stated !== sum) return faultIn(line, `the checksum is ${hexByte(stated)} and must be ${hexByte(sum)}`);
  if (type >= LENGTHS.length) return faultIn(line, `record type ${hexByte(type)} is not defined`);
  const wanted = LENGTHS[type];
  if (wanted !== undefined && length !== wanted) {
    return faultIn(line, `a record of type ${hexByte(type)} has ${wanted} data bytes, not ${length}`);
  }
  return { type, offset: bigEndian(bytes.subarray(1, 3)), data };
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
