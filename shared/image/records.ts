import type { ImageFault } from './memory.ts';

/** A line of an image file that is not empty, with its number, counted from 1. */
export interface RecordLine {
  readonly text: string;
  readonly number: number;
}

/** The lines of a text, one at a time. Lines end with LF or CR LF; empty ones are left out. */
export function* recordLines(text: string): Generator<RecordLine> {
  let number = 1;
  for (let start = 0; start < text.length; number++) {
    const newline = text.indexOf('\n', start);
    const end = newline < 0 ? text.length : newline;
    const line = text.slice(start, text[end - 1] === '\r' && end > start ? end - 1 : end);
    if (line !== '') yield { text: line, number };
    start = end + 1;
  }
}

/** The bytes that hexadecimal digits state, from a position on; undefined if they are not pairs of such digits. */
export function bytesOfDigits(text: string, start: number): Uint8Array | undefined {
  const count = text.length - start;
  if (count % 2 !== 0 || count / 2 > LONGEST_RECORD) return undefined;
  const bytes = new Uint8Array(count / 2);
  for (let i = 0; i < bytes.length; i++) {
    const [high, low] = [digit(text.charCodeAt(start + 2 * i)), digit(text.charCodeAt(start + 2 * i + 1))];
    if (high < 0 || low < 0) return undefined;
    bytes[i] = high * 16 + low;
  }
  return bytes;
}

/** In bytes: one for the length, at most 255 that it counts, four of address and type, and the checksum. */
const LONGEST_RECORD = 261;

/** The value of a hexadecimal digit by its character code; −1 for another character. */
function digit(code: number): number {
  if (code >= 0x30 && code <= 0x39) return code - 0x30;
  const letter = code | 0x20;
  return letter >= 0x61 && letter <= 0x66 ? letter - 0x57 : -1;
}

/** The sum of bytes, modulo 256. */
export function sumOfBytes(bytes: Uint8Array): number {
  let sum = 0;
  for (let i = 0; i < bytes.length; i++) sum += bytes[i]!;
  return sum & 0xff;
}

/** A number from bytes, the most significant first. */
export const bigEndian = (bytes: Uint8Array): number =>
  bytes.reduce((number, byte) => number * 256 + byte, 0);

/** Bytes of a number, the most significant first. */
export const bytesOfNumber = (number: number, count: number): number[] =>
  Array.from({ length: count }, (_, i) => Math.floor(number / 256 ** (count - 1 - i)) % 256);

export const faultIn = ({ number }: RecordLine, message: string): ImageFault => ({ line: number, message });
