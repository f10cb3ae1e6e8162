import type { ImageFault } from './memory.ts';

const LF = 0x0a;
const CR = 0x0d;

/** In bytes: the length, at most 255 that it counts, four of address and type, and the checksum. */
const LONGEST_RECORD = 261;

/** The value of each hexadecimal digit by its character code; −1 for other characters. */
const DIGITS = Int8Array.from({ length: 256 }, (_, code) => {
  const digit = '0123456789abcdef'.indexOf(String.fromCharCode(code).toLowerCase());
  return digit;
});

/**
 * Goes through the lines of an image file and decodes them in place: a file may have millions of records, and a text or a
 * list of bytes for each would take longer than everything else. Lines end with LF or CR LF; empty ones are left out.
 */
export class RecordLines {
  /** The bytes of the record last decoded. */
  readonly bytes = new Uint8Array(LONGEST_RECORD);
  /** Their number. */
  length = 0;
  /** The number of the current line, counted from 1. */
  number = 0;
  #start = 0;
  #end = 0;
  #next = 0;

  constructor(readonly contents: Uint8Array) {}

  /** Moves to the next line that is not empty; false if there is none. */
  next(): boolean {
    const { contents } = this;
    while (this.#next < contents.length) {
      const newline = contents.indexOf(LF, this.#next);
      const end = newline < 0 ? contents.length : newline;
      this.#start = this.#next;
      this.#end = contents[end - 1] === CR && end > this.#start ? end - 1 : end;
      this.#next = end + 1;
      this.number++;
      if (this.#end > this.#start) return true;
    }
    return false;
  }

  /** The character code at a position in the line; 0 beyond its end. */
  code(at: number): number {
    return this.#start + at < this.#end ? this.contents[this.#start + at]! : 0;
  }

  /** Decodes the hexadecimal digits from a position on; false if they are not pairs of such digits. */
  decode(from: number): boolean {
    const { contents, bytes } = this;
    const count = this.#end - this.#start - from;
    if (count < 0 || count % 2 !== 0 || count / 2 > LONGEST_RECORD) return false;
    this.length = count / 2;
    let at = this.#start + from;
    for (let i = 0; i < this.length; i++) {
      const [high, low] = [DIGITS[contents[at]!]!, DIGITS[contents[at + 1]!]!];
      if (high < 0 || low < 0) return false;
      bytes[i] = high * 16 + low;
      at += 2;
    }
    return true;
  }

  /** The sum of all decoded bytes but the last, modulo 256. */
  get sum(): number {
    let sum = 0;
    for (let i = 0; i < this.length - 1; i++) sum += this.bytes[i]!;
    return sum & 0xff;
  }

  /** The checksum: the last of the decoded bytes. */
  get stated(): number {
    return this.bytes[this.length - 1]!;
  }

  /** The number in some of the decoded bytes, the most significant first. */
  numberAt(start: number, count: number): number {
    let number = 0;
    for (let i = start; i < start + count; i++) number = number * 256 + this.bytes[i]!;
    return number;
  }

  fault(message: string): ImageFault {
    return { line: this.number, message };
  }

  /** The fault of a file whose last line is not an end record. */
  get cutShort(): ImageFault {
    const message = 'there is no end record, so the file may have been cut short';
    return { line: this.number || undefined, message };
  }
}

/** Bytes of a number, the most significant first. */
export const bytesOfNumber = (number: number, count: number): number[] =>
  Array.from({ length: count }, (_, i) => Math.floor(number / 256 ** (count - 1 - i)) % 256);

/** The sum of bytes, modulo 256. */
export const sumOfBytes = (bytes: Uint8Array): number => bytes.reduce((sum, byte) => (sum + byte) & 0xff, 0);
