import { type Change, firstAt, joined } from './change.ts';
import type { Text } from './text.ts';

/**
 * Splits a text into pieces that can be parsed independently: one for each key of a block mapping, and again inside a
 * key with a long block. Only indentation is examined, because in YAML everything inside a block is indented further
 * than the keys of the block. A half-typed bracket or quote therefore affects only its own piece.
 */

/**
 * A part of a text: offsets `start` and `end`, and the indexes `from` and `to` of its lines in the layout. The ends are
 * exclusive.
 */
export interface Stretch {
  readonly start: number;
  readonly end: number;
  readonly from: number;
  readonly to: number;
}

/** The lines of a text that are neither blank nor only a comment: one array element per line. */
export interface Layout {
  readonly starts: Int32Array;
  readonly indents: Int32Array;
  readonly kinds: Uint8Array;
}

/** How a line begins: not with a plain key, with a key and a value, or with a key that has nothing after it. */
const OTHER = 0;
const KEYED = 1;
const OPENS = 2;

/** A shorter block is not split: that would cost more than it saves. */
const LONG_BLOCK_LINES = 24;

const KEY = /(\w[\w.-]*):(?=[ \t\r\n]|$)/y;

/** The whole text as one stretch; undefined unless it is a plain block mapping. */
export function wholeText({ length }: Text, { indents, kinds }: Layout): Stretch | undefined {
  if (indents.length === 0 || indents[0] !== 0) return undefined;
  for (let i = 0; i < indents.length; i++) if (indents[i] === 0 && kinds[i] === OTHER) return undefined;
  return { start: 0, end: length, from: 0, to: indents.length };
}

/** Splits a block into one stretch for each key. The first begins with the block, the others with their key. */
export function cutAtKeys({ starts, indents }: Layout, block: Stretch): Stretch[] {
  const { to, end } = block;
  const indent = indents[block.from];
  const stretches: Stretch[] = [];
  let { start, from } = block;
  for (let at = from + 1; at <= to; at++) {
    if (at < to && indents[at] !== indent) continue;
    const next = at < to ? starts[at]! : end;
    stretches.push({ start, end: next, from, to: at });
    start = next;
    from = at;
  }
  return stretches;
}

/** The first key of a stretch and the block below it, if that is long enough to be split at its own keys. */
export function belowKey(
  text: Text,
  layout: Layout,
  { end, from, to }: Stretch,
): { readonly key: string; readonly below: Stretch } | undefined {
  const { starts, indents, kinds } = layout;
  if (to - from <= LONG_BLOCK_LINES || kinds[from] !== OPENS) return undefined;
  if (!isBlockOfKeys(layout, from + 1, to, indents[from]!)) return undefined;
  const key = keyAt(text.slice(starts[from]! + indents[from]!, starts[from + 1]!), 0)!;
  return { key, below: { start: starts[from + 1]!, end, from: from + 1, to } };
}

/** Whether every line at the indentation of the first one begins with a key, and no line is indented less. */
function isBlockOfKeys({ indents, kinds }: Layout, from: number, to: number, parent: number): boolean {
  const indent = indents[from]!;
  if (indent <= parent) return false;
  for (let i = from; i < to; i++) {
    if (indents[i]! < indent || (indents[i] === indent && kinds[i] === OTHER)) return false;
  }
  return true;
}

/** Reads the lines of a text; `behind` is the offset at which the text begins. */
export function layoutOf(text: string, behind = 0): Layout {
  const starts: number[] = [];
  const indents: number[] = [];
  const kinds: number[] = [];
  for (let start = 0; start < text.length; ) {
    let end = text.indexOf('\n', start);
    if (end < 0) end = text.length;
    let at = start;
    while (at < end && text.charCodeAt(at) === 32) at++;
    const first = text.charCodeAt(at);
    const blank =
      at >= end || first === 35 || first === 13 || (first === 9 && text.slice(at, end).trim() === '');
    if (!blank) {
      starts.push(behind + start);
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

/** The layout of a text after an edit. Only the changed lines are read. */
export function layoutAfter(text: Text, before: Layout, { from, to, shift }: Change): Layout {
  const fresh = layoutOf(text.slice(from, to), from);
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
