import { type Change, firstAt, joined } from './change.ts';
import type { Text } from './text.ts';

/** A position as editors count: line and UTF-16 unit, both from 0. */
export interface Position {
  readonly line: number;
  readonly character: number;
}

/**
 * Converts offsets to positions and back. As in editors, a line ends with a line feed, a carriage return, or both. The
 * table of lines is built on first use.
 */
export class LineIndex {
  #starts: Int32Array | undefined;
  /** Whether every line ends with a line feed alone. */
  #isPlain = true;

  constructor(readonly text: Text) {}

  get starts(): Int32Array {
    this.#starts ??= this.#read(String(this.text));
    return this.#starts;
  }

  #read(text: string): Int32Array {
    this.#isPlain = !text.includes('\r');
    return Int32Array.from(this.#isPlain ? startsAfterFeeds(text, 0) : startsAfter(/\r\n?|\n/g, text));
  }

  /** The line index of the next version of the text. If the table has been built, only the changed lines are read. */
  after(text: Text, { from, to, shift }: Change): LineIndex {
    const next = new LineIndex(text);
    const before = this.#starts;
    const written = text.slice(from, to);
    if (!before || !this.#isPlain || written.includes('\r')) return next;
    const head = firstAt(before, from + 1);
    const tail = firstAt(before, to - shift + 1);
    const fresh = Int32Array.from(startsAfterFeeds(written, from).slice(1));
    const starts = joined(Int32Array, before, fresh, head, tail);
    for (let i = head + fresh.length; i < starts.length; i++) starts[i]! += shift;
    next.#starts = starts;
    return next;
  }

  position(offset: number): Position {
    const starts = this.starts;
    let low = 0;
    let high = starts.length;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (starts[middle]! <= offset) low = middle;
      else high = middle;
    }
    return { line: low, character: Math.min(offset, this.text.length) - starts[low]! };
  }

  /** A position beyond the end of its line means that end, as in LSP. */
  offset({ line, character }: Position): number {
    if (line < 0) return 0;
    const start = this.starts[line];
    if (start === undefined) return this.text.length;
    let offset = Math.min(start + Math.max(0, character), this.starts[line + 1] ?? this.text.length);
    while (offset > start && /[\r\n]/.test(this.text.slice(offset - 1, offset))) offset--;
    return offset;
  }

  /** The text of a line without its line end. */
  line(line: number): string {
    const start = this.starts[line] ?? this.text.length;
    const end = this.starts[line + 1] ?? this.text.length;
    return this.text.slice(start, end).replace(/\r\n?$|\n$/, '');
  }
}

function startsAfter(lineEnd: RegExp, text: string): number[] {
  return [0, ...Array.from(text.matchAll(lineEnd), (found) => found.index + found[0].length)];
}

/** Much faster if all lines end with a line feed, as is nearly always the case; `text` begins at `offset` in the file. */
function startsAfterFeeds(text: string, offset: number): number[] {
  const starts = [offset];
  for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) starts.push(offset + at + 1);
  return starts;
}
