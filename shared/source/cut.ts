import { type Change, firstAt, joined } from './change.ts';

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

/** The lines of a text that count: neither blank nor a comment alone. One place in each array a line. */
export interface Layout {
  readonly starts: Int32Array;
  readonly indents: Int32Array;
  readonly kinds: Uint8Array;
}

/** What a line opens with: no plain key and colon, such a key, or a key with nothing behind it. */
const OTHER = 0;
const KEYED = 1;
const OPENS = 2;

/** A block shorter than this is parsed whole: a cut costs more than it saves. */
const LONG_BLOCK_LINES = 24;

const KEY = /(\w[\w.-]*):(?=[ \t\r\n]|$)/y;

/** The pieces in order, together covering the text; undefined where the text is no plain block mapping. */
export function cut(text: string, layout: Layout): Piece[] | undefined {
  const { indents, kinds } = layout;
  if (indents.length === 0 || indents[0] !== 0) return undefined;
  for (let i = 0; i < indents.length; i++) if (indents[i] === 0 && kinds[i] === OTHER) return undefined;
  const pieces: Piece[] = [];
  cutBlock(text, layout, 0, indents.length, 0, text.length, [], pieces);
  return pieces;
}

function cutBlock(
  text: string,
  layout: Layout,
  from: number,
  to: number,
  start: number,
  end: number,
  prefix: readonly string[],
  pieces: Piece[],
): void {
  const { starts, indents, kinds } = layout;
  const indent = indents[from]!;
  let pieceStart = start;
  for (let i = from; i < to; ) {
    let next = i + 1;
    while (next < to && indents[next] !== indent) next++;
    const pieceEnd = next < to ? starts[next]! : end;
    if (next - i > LONG_BLOCK_LINES && kinds[i] === OPENS && isBlockOfKeys(layout, i + 1, next, indent)) {
      const inside = starts[i + 1]!;
      const key = keyAt(text, starts[i]! + indent)!;
      pieces.push({ start: pieceStart, end: inside, prefix });
      cutBlock(text, layout, i + 1, next, inside, pieceEnd, [...prefix, key], pieces);
    } else {
      pieces.push({ start: pieceStart, end: pieceEnd, prefix });
    }
    pieceStart = pieceEnd;
    i = next;
  }
}

/** Whether every line at the first line's indentation opens with a key, and none stands between that and the parent. */
function isBlockOfKeys({ indents, kinds }: Layout, from: number, to: number, parent: number): boolean {
  const indent = indents[from]!;
  if (indent <= parent) return false;
  for (let i = from; i < to; i++) {
    if (indents[i]! < indent || (indents[i] === indent && kinds[i] === OTHER)) return false;
  }
  return true;
}

/** Reads the lines of a text, or of a stretch of it that begins and ends with a line. */
export function layoutOf(text: string, from = 0, to = text.length): Layout {
  const starts: number[] = [];
  const indents: number[] = [];
  const kinds: number[] = [];
  for (let start = from; start < to; ) {
    let end = text.indexOf('\n', start);
    if (end < 0 || end > to) end = to;
    let at = start;
    while (at < end && text.charCodeAt(at) === 32) at++;
    const first = text.charCodeAt(at);
    const blank =
      at >= end || first === 35 || first === 13 || (first === 9 && text.slice(at, end).trim() === '');
    if (!blank) {
      starts.push(start);
      indents.push(at - start);
      kinds.push(kindOf(text, at, end));
    }
    start = end + 1;
  }
  return {
    starts: Int32Array.from(starts),
    indents: Int32Array.from(indents),
    kinds: Uint8Array.from(kinds),
  };
}

/** The layout of a text after an edit: only the lines that the edit touched are read. */
export function layoutAfter(text: string, before: Layout, { from, to, shift }: Change): Layout {
  const fresh = layoutOf(text, from, to);
  const head = firstAt(before.starts, from);
  const tail = firstAt(before.starts, to - shift);
  const starts = joined(Int32Array, before.starts, fresh.starts, head, tail);
  for (let i = head + fresh.starts.length; i < starts.length; i++) starts[i]! += shift;
  return {
    starts,
    indents: joined(Int32Array, before.indents, fresh.indents, head, tail),
    kinds: joined(Uint8Array, before.kinds, fresh.kinds, head, tail),
  };
}

function keyAt(text: string, at: number): string | undefined {
  KEY.lastIndex = at;
  return KEY.exec(text)?.[1];
}

function kindOf(text: string, at: number, end: number): number {
  if (keyAt(text, at) === undefined) return OTHER;
  for (let rest = KEY.lastIndex; rest < end; rest++) {
    const code = text.charCodeAt(rest);
    if (code === 35) return OPENS;
    if (code > 32) return KEYED;
  }
  return OPENS;
}
