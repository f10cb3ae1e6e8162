/**
 * Cuts a text into pieces that can be parsed on their own: one for each key of a block mapping, and again inside a key
 * whose block is long. Reading lines by their indentation is all it takes, because YAML lets nothing that belongs to
 * a block stand as far left as the block's own keys. A half-typed bracket or quote thus spoils its piece only.
 */
export interface Piece {
  readonly start: number;
  readonly end: number;
  readonly prefix: readonly string[];
}

interface Line {
  readonly start: number;
  readonly indent: number;
  /** The key, where the line opens with a plain key and a colon. */
  readonly key: string | undefined;
  /** True where nothing but the key stands on the line. */
  readonly opens: boolean;
}

/** A block shorter than this is parsed whole: a cut costs more than it saves. */
const LONG_BLOCK_LINES = 24;

const KEY = /(\w[\w.-]*):(?=[ \t\r\n]|$)/y;

/** The pieces in order, together covering the text; undefined where the text is no plain block mapping. */
export function cut(text: string): Piece[] | undefined {
  const lines = readLines(text);
  if (lines.some((line) => line.indent === 0 && line.key === undefined)) return undefined;
  if (lines.length === 0 || lines[0]?.indent !== 0) return undefined;
  const pieces: Piece[] = [];
  cutBlock(lines, 0, lines.length, 0, text.length, [], pieces);
  return pieces;
}

function cutBlock(
  lines: readonly Line[],
  from: number,
  to: number,
  start: number,
  end: number,
  prefix: readonly string[],
  pieces: Piece[],
): void {
  const indent = lines[from]!.indent;
  let pieceStart = start;
  for (let i = from; i < to; ) {
    let next = i + 1;
    while (next < to && lines[next]!.indent !== indent) next++;
    const pieceEnd = next < to ? lines[next]!.start : end;
    const line = lines[i]!;
    if (next - i > LONG_BLOCK_LINES && line.opens && isBlockOfKeys(lines, i + 1, next, indent)) {
      const inside = lines[i + 1]!.start;
      pieces.push({ start: pieceStart, end: inside, prefix });
      cutBlock(lines, i + 1, next, inside, pieceEnd, [...prefix, line.key!], pieces);
    } else {
      pieces.push({ start: pieceStart, end: pieceEnd, prefix });
    }
    pieceStart = pieceEnd;
    i = next;
  }
}

/** Whether every line at the first line's indentation opens with a key, and none stands between that and the parent. */
function isBlockOfKeys(lines: readonly Line[], from: number, to: number, parent: number): boolean {
  const indent = lines[from]!.indent;
  if (indent <= parent) return false;
  for (let i = from; i < to; i++) {
    const line = lines[i]!;
    if (line.indent < indent || (line.indent === indent && line.key === undefined)) return false;
  }
  return true;
}

/** The lines that count: neither blank nor a comment alone. */
function readLines(text: string): Line[] {
  const lines: Line[] = [];
  for (let start = 0; start < text.length; ) {
    let end = text.indexOf('\n', start);
    if (end < 0) end = text.length;
    let at = start;
    while (at < end && text.charCodeAt(at) === 32) at++;
    const first = text.charCodeAt(at);
    const blank =
      at >= end || first === 35 || first === 13 || (first === 9 && text.slice(at, end).trim() === '');
    if (!blank) {
      KEY.lastIndex = at;
      const key = KEY.exec(text)?.[1];
      lines.push({
        start,
        indent: at - start,
        key,
        opens: key !== undefined && endsHere(text, KEY.lastIndex, end),
      });
    }
    start = end + 1;
  }
  return lines;
}

/** Whether only blanks and a comment stand between the two places. */
function endsHere(text: string, from: number, end: number): boolean {
  for (let at = from; at < end; at++) {
    const code = text.charCodeAt(at);
    if (code === 35) return true;
    if (code > 32) return false;
  }
  return true;
}
