import { open } from 'node:fs/promises';

/** In bytes. A longer line is not a row of a log. */
const LONGEST_LINE = 1_000_000;

/** In bytes: what is read at once. */
const PIECE = 1 << 20;

const [LINE_FEED, CARRIAGE_RETURN, QUOTE] = [10, 13, 34];

/** Receives the lines of a file. */
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
  const file = await open(path, 'r');
  // One buffer for all pieces: the beginning of a line that is not yet complete moves to its start.
  let bytes = Buffer.allocUnsafe(PIECE + LONGEST_LINE);
  let kept = 0;
  let number = 1;
  let isSkipping = false;
  const line = (from: number, to: number, mark: number) => {
    const end = to > from && bytes[to - 1] === CARRIAGE_RETURN ? to - 1 : to;
    reader.line(bytes, from, end, number++, mark >= from && mark < to);
  };
  try {
    for (;;) {
      const { bytesRead } = await file.read(bytes, kept, PIECE, null);
      if (bytesRead === 0) break;
      const filled = bytes.subarray(0, kept + bytesRead);
      let from = 0;
      // Quotation marks are rare, so they are looked for once per piece.
      let mark = filled.indexOf(QUOTE);
      for (let end = filled.indexOf(LINE_FEED, kept); end >= 0; end = filled.indexOf(LINE_FEED, from)) {
        if (mark >= 0 && mark < from) mark = filled.indexOf(QUOTE, from);
        if (isSkipping) {
          isSkipping = false;
          reader.tooLong(number++);
        } else line(from, end, mark);
        from = end + 1;
      }
      if (mark >= 0 && mark < from) mark = filled.indexOf(QUOTE, from);
      kept = isSkipping ? 0 : filled.length - from;
      if (kept > LONGEST_LINE) {
        isSkipping = true;
        kept = 0;
      }
      bytes.copyWithin(0, from, from + kept);
    }
    if (isSkipping) reader.tooLong(number);
    else if (kept > 0) line(0, kept, bytes.subarray(0, kept).indexOf(QUOTE));
  } finally {
    await file.close();
    bytes = Buffer.alloc(0);
  }
}
