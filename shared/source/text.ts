/**
 * A text that need not be one string in memory: copying a megabyte per keystroke would take longer than the analysis.
 * Strings and the chunks of a file are texts. Offsets count UTF-16 units.
 */
export interface Text {
  readonly length: number;
  slice(start: number, end: number): string;
  toString(): string;
}

/** A text in which one range is replaced. */
export class RewrittenText implements Text {
  readonly length: number;
  /** By how much the text after the range has moved. */
  readonly shift: number;

  constructor(
    readonly before: Text,
    readonly start: number,
    readonly end: number,
    readonly written: string,
  ) {
    this.shift = written.length - (end - start);
    this.length = before.length + this.shift;
  }

  slice(start: number, end: number): string {
    const rewritten = this.start + this.written.length;
    return (
      this.before.slice(Math.min(start, this.start), Math.min(end, this.start)) +
      this.written.slice(Math.max(0, start - this.start), Math.max(0, end - this.start)) +
      this.before.slice(Math.max(start, rewritten) - this.shift, Math.max(end, rewritten) - this.shift)
    );
  }

  toString(): string {
    return this.slice(0, this.length);
  }
}

/** The initial search distance for the end of a line; lines are rarely longer. */
const USUAL_LINE = 256;

/** The start of the line at an offset. */
export function startOfLine(text: Text, place: number): number {
  for (let reach = USUAL_LINE; ; reach *= 4) {
    const from = Math.max(0, place - reach);
    const feed = text.slice(from, place).lastIndexOf('\n');
    if (feed >= 0) return from + feed + 1;
    if (from === 0) return 0;
  }
}

/** The start of the line after that at an offset, or the end of the text. */
export function startOfNextLine(text: Text, place: number): number {
  for (let reach = USUAL_LINE; ; reach *= 4) {
    const to = Math.min(text.length, place + reach);
    const feed = text.slice(place, to).indexOf('\n');
    if (feed >= 0) return place + feed + 1;
    if (to === text.length) return to;
  }
}
