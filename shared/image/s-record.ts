/**
 * Motorola S-records. No npm package reads them; intel-hex.ts says why both formats are our own.
 * Source: Motorola, MC68000 Family Programmer's Reference Manual, Appendix C; srec_motorola(5) of SRecord 1.64.
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

/** The number of address bytes of each type of record; S4 is reserved. */
const ADDRESS_BYTES: readonly (number | undefined)[] = [2, 2, 3, 4, undefined, 2, 3, 4, 3, 2];

/** Reads the records of a text into a memory; the first fault ends the reading. */
export function readSRecords(text: string, memory: Memory): ImageFault | undefined {
  let count = 0;
  let end: number | undefined;
  let last = 0;
  for (const line of recordLines(text)) {
    last = line.number;
    if (end !== undefined) return faultIn(line, `there is a record after the end record in line ${end}`);
    const record = recordOf(line);
    if ('message' in record) return record;
    const { type, address, data } = record;
    if (type >= 7) end = line.number;
    else if (type === 5 || type === 6) {
      if (address !== count) {
        return faultIn(line, `the count is ${address}, but there are ${count} data records before it`);
      }
    } else if (type > 0) {
      count++;
      for (let i = 0; i < data.length; i++) {
        const fault = memory.put(address + i, data[i]!, line.number);
        if (fault) return fault;
      }
    }
  }
  if (end !== undefined) return undefined;
  return { line: last || undefined, message: 'there is no end record, so the file may have been cut short' };
}

interface SRecord {
  readonly type: number;
  readonly address: number;
  readonly data: Uint8Array;
}

function recordOf(line: RecordLine): SRecord | ImageFault {
  const type = line.text.charCodeAt(1) - 0x30;
  if (line.text[0] !== 'S' || !(type >= 0 && type <= 9)) {
    return faultIn(line, 'a record must begin with `S` and a digit');
  }
  const addressBytes = ADDRESS_BYTES[type];
  if (addressBytes === undefined) return faultIn(line, 'record type S4 is not defined');
  const bytes = bytesOfDigits(line.text, 2);
  if (!bytes || bytes.length < addressBytes + 2) {
    return faultIn(line, 'this is not a record of hexadecimal digits');
  }
  if (bytes[0] !== bytes.length - 1) {
    return faultIn(line, `the record states ${bytes[0]} bytes and has ${bytes.length - 1}`);
  }
  const stated = bytes.at(-1)!;
  const sum = ~sumOfBytes(bytes.subarray(0, -1)) & 0xff;
  if (stated !== sum) return faultIn(line, `the checksum is ${hexByte(stated)} and must be ${hexByte(sum)}`);
  const data = bytes.subarray(1 + addressBytes, -1);
  if (type >= 5 && data.length > 0) return faultIn(line, `a record of type S${type} has no data bytes`);
  return { type, address: bigEndian(bytes.subarray(1, 1 + addressBytes)), data };
}

/** Data bytes in a record. */
const RECORD_BYTES = 16;
/** The longest header that fits a record. */
const LONGEST_HEADER = 252;

/**
 * Bytes at an address as S-records, with addresses of 32 bits or as many as `addressBytes` says: a header, data, the
 * number of data records and the end record.
 */
export function sRecordText(
  bytes: Uint8Array,
  base: number,
  header: Uint8Array,
  addressBytes: 2 | 3 | 4 = 4,
): string {
  const lines = [recordText(0, 2, 0, [...header.subarray(0, LONGEST_HEADER)])];
  for (let at = 0; at < bytes.length; at += RECORD_BYTES) {
    lines.push(
      recordText(addressBytes - 1, addressBytes, base + at, [...bytes.subarray(at, at + RECORD_BYTES)]),
    );
  }
  const count = lines.length - 1;
  if (count <= 0xffff) lines.push(recordText(5, 2, count, []));
  else if (count <= 0xff_ffff) lines.push(recordText(6, 3, count, []));
  lines.push(recordText(11 - addressBytes, addressBytes, 0, []));
  return `${lines.join('\n')}\n`;
}

function recordText(type: number, addressBytes: number, address: number, data: readonly number[]): string {
  const bytes = Uint8Array.of(
    addressBytes + data.length + 1,
    ...bytesOfNumber(address, addressBytes),
    ...data,
  );
  return `S${type}${Array.from(bytes, hexByte).join('')}${hexByte(~sumOfBytes(bytes) & 0xff)}`;
}
