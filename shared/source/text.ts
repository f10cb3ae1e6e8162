/**
 * A text that need not lie in memory in one piece: to copy a megabyte for each keystroke takes longer than all that has to
 * be known of it. A string is one, and so are the chunks of a file. Places count UTF-16 units.
 */
export interface Text {
  readonly length: number;
  slice(start: number, end: number): string;
  toString(): string;
}

/** Another text with a stretch of it written anew. */
export class RewrittenText implements Text {
  readonly length: number;
  /** How much further back stands what follows. */
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

/** So far is looked for the end of a line at first; lines are seldom longer. */
const USUAL_LINE = 256;

/** Where the line of a place begins: behind the line feed before it. */
export function startOfLine(text: Text, place: number): number {
  for (let reach = USUAL_LINE; ; reach *= 4) {
    const from = Math.max(0, place - reach);
    const feed = text.slice(from, place).lastIndexOf('\n');
    if (feed >= 0) return from + feed + 1;
    if (from === 0) return 0;
  }
}

/** Where the line behind that of a place begins, or the text ends. */
export function startOfNextLine(text: Text, place: number): number {
  for (let reach = USUAL_LINE; ; reach *= 4) {
    const to = Math.min(text.length, place + reach);
    const feed = text.slice(place, to).indexOf('\n');
    if (feed >= 0) return place + feed + 1;
    if (to === text.length) return to;
  }
}
