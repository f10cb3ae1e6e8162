/**
 * Motorola S-records. No npm package reads them; intel-hex.ts says why both formats are our own.
 * Source: Motorola, MC68000 Family Programmer's Reference Manual, Appendix C; srec_motorola(5) of SRecord 1.64.
 */
import { hexByte, type ImageFault, type Memory } from './memory.ts';
import { bytesOfNumber, RecordLines, sumOfBytes } from './records.ts';

/** The number of address bytes of each type of record; S4 is reserved. */
const ADDRESS_BYTES: readonly (number | undefined)[] = [2, 2, 3, 4, undefined, 2, 3, 4, 3, 2];

/** Reads the records of a file into a memory; the first fault ends the reading. */
export function readSRecords(contents: Uint8Array, memory: Memory): ImageFault | undefined {
  const lines = new RecordLines(contents);
  let count = 0;
  let end: number | undefined;
  while (lines.next()) {
    if (end !== undefined) return lines.fault(`there is a record after the end record in line ${end}`);
    const wrong = decodeRecord(lines);
    if (wrong !== undefined) return lines.fault(wrong);
    const type = typeOf(lines);
    const addressBytes = ADDRESS_BYTES[type]!;
    const address = lines.numberAt(1, addressBytes);
    if (type >= 7) end = lines.number;
    else if (type === 5 || type === 6) {
      if (address !== count) {
        return lines.fault(`the count is ${address}, but there are ${count} data records before it`);
      }
    } else if (type > 0) {
      count++;
      const first = 1 + addressBytes;
      for (let i = first; i < lines.length - 1; i++) {
        const fault = memory.put(address + i - first, lines.bytes[i]!, lines.number);
        if (fault) return fault;
      }
    }
  }
  return end === undefined ? lines.cutShort : undefined;
}

const S = 0x53;

/** The digit after the `S`; outside 0 to 9 if there is none. */
const typeOf = (lines: RecordLines): number => lines.code(1) - 0x30;

/** Decodes the record in the current line; returns what is wrong with it. */
function decodeRecord(lines: RecordLines): string | undefined {
  const type = typeOf(lines);
  if (lines.code(0) !== S || type < 0 || type > 9) return 'a record must begin with `S` and a digit';
  const addressBytes = ADDRESS_BYTES[type];
  if (addressBytes === undefined) return 'record type S4 is not defined';
  if (!lines.decode(2) || lines.length < addressBytes + 2)
    return 'this is not a record of hexadecimal digits';
  const { bytes, stated, length } = lines;
  if (bytes[0] !== length - 1) return `the record states ${bytes[0]} bytes and has ${length - 1}`;
  const sum = ~lines.sum & 0xff;
  if (stated !== sum) return `the checksum is ${hexByte(stated)} and must be ${hexByte(sum)}`;
  if (type >= 5 && length > addressBytes + 2) return `a record of type S${type} has no data bytes`;
  return undefined;
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
