import { createReadStream } from 'node:fs';

/** In bytes. A longer line is not a row of a log. */
const LONGEST_LINE = 1_000_000;

const [LINE_FEED, CARRIAGE_RETURN, QUOTE] = [10, 13, 34];

/** Receives the lines of a file. Returns false to stop reading. */
export interface LineReader {
  /** A line without its end: bytes `from` to `to`. `quotes` says whether it contains a quotation mark. */
  line(bytes: Uint8Array, from: number, to: number, number: number, quotes: boolean): void;
  /** A line that is too long to be read. */
  tooLong(number: number): void;
}

/**
 * Reads a file line by line, in pieces, so that memory does not depend on its size. Lines end with a line feed, with or without a
 * carriage return before it. Rejects with the error of the file system.
 */
export async function readLines(path: string, reader: LineReader): Promise<void> {
  let rest: Uint8Array = new Uint8Array(0);
  let number = 1;
  let isSkipping = false;
  const line = (bytes: Uint8Array, from: number, to: number, mark: number) => {
    const end = to > from && bytes[to - 1] === CARRIAGE_RETURN ? to - 1 : to;
    reader.line(bytes, from, end, number++, mark >= from && mark < to);
  };
  for await (const piece of createReadStream(path, { highWaterMark: 1 << 20 })) {
    const chunk = piece as Buffer;
    const bytes = rest.length === 0 ? chunk : Buffer.concat([rest, chunk]);
    let from = 0;
    // Quotation marks are rare, so they are looked for once per piece.
    let mark = bytes.indexOf(QUOTE);
    for (let end = bytes.indexOf(LINE_FEED); end >= 0; end = bytes.indexOf(LINE_FEED, from)) {
      if (mark >= 0 && mark < from) mark = bytes.indexOf(QUOTE, from);
      if (isSkipping) {
        isSkipping = false;
        reader.tooLong(number++);
      } else line(bytes, from, end, mark);
      from = end + 1;
    }
    rest = isSkipping ? new Uint8Array(0) : Uint8Array.prototype.slice.call(bytes, from);
    if (rest.length > LONGEST_LINE) {
      isSkipping = true;
      rest = new Uint8Array(0);
    }
  }
  if (isSkipping) reader.tooLong(number);
  else if (rest.length > 0) line(rest, 0, rest.length, rest.indexOf(QUOTE));
}
