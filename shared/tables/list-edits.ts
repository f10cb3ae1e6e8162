import { type Edit, insertAt, replace } from '../source/edit.ts';
import type { Node, SequenceNode } from '../source/tree.ts';

/** An item of the new list: an old one that stays, possibly with a new text, or a new one. */
export interface Item {
  readonly from: Node | undefined;
  /** Its text; undefined leaves the text of an old item to other edits. */
  readonly text: string | undefined;
  /** The blanks before it; undefined keeps them. */
  readonly gap?: string | undefined;
}

/** The edits that make a list, in brackets or with dashes, hold these items. Old items keep their order. */
export function listEdits(list: SequenceNode, items: readonly Item[]): Edit[] {
  const places = placesOf(list, items);
  return list.flow ? flowEdits(list, places) : blockEdits(list, places);
}

/** What becomes of an old item: its new text, or removal, and the new items before and after it. */
interface Place {
  readonly node: Node;
  item: Item | undefined;
  readonly before: Item[];
  readonly behind: Item[];
}

/** Assigns each new item to an old one: it replaces one that is removed, or is inserted next to one that stays. */
function placesOf(list: SequenceNode, items: readonly Item[]): Place[] {
  const places: Place[] = list.items.map((node) => ({ node, item: undefined, before: [], behind: [] }));
  let waiting: Item[] = [];
  let from = 0;
  const settle = (to: number): void => {
    let last = from - 1;
    for (const item of waiting) {
      if (last + 1 < to) places[++last]!.item = item;
      else if (last >= 0) places[last]!.behind.push(item);
      else places[to]?.before.push(item);
    }
    waiting = [];
  };
  for (const item of items) {
    const at = item.from ? list.items.indexOf(item.from) : -1;
    if (at < 0) {
      waiting.push(item);
      continue;
    }
    settle(at);
    places[at]!.item = item;
    from = at + 1;
  }
  settle(places.length);
  return places;
}

function flowEdits(list: SequenceNode, places: readonly Place[]): Edit[] {
  const { chunk } = list;
  const source = chunk.text;
  const gapStarts = list.items.map((_, i) => gapStart(list, i));
  const firstStays = places.findIndex(({ item }) => item !== undefined);
  return places.flatMap(({ node, item, before, behind }, i) => {
    const from = gapStarts[i]!;
    if (!item) return removal(list, gapStarts, i, places);
    const oldGap = source.slice(from, node.start);
    const isBlank = !/[^ ]/.test(oldGap);
    const inherited = i === firstStays && i > 0 ? firstGap(list, oldGap) : undefined;
    const gap = isBlank ? (item.gap ?? inherited ?? oldGap) : oldGap;
    const lead = before
      .map((one) => `${one.gap ?? ''}${one.text},${one.gap === undefined ? ' ' : ''}`)
      .join('');
    const tail = behind.map((one) => `,${one.gap ?? ' '}${one.text}`).join('');
    const old = source.slice(node.start, node.end);
    const text = item.text ?? old;
    if (text === old && gap === oldGap) {
      return [
        ...(lead ? [insertAt(list, before[0]?.gap === undefined ? node.start : from, lead)] : []),
        ...(tail ? [insertAt(list, node.end, tail)] : []),
      ];
    }
    const isMoved = gap !== oldGap || (lead !== '' && before[0]?.gap !== undefined);
    const words = before[0]?.gap === undefined ? gap + lead + text : lead + gap + text;
    return [
      isMoved
        ? replace({ chunk, start: from, end: node.end }, words + tail)
        : replace({ chunk, start: node.start, end: node.end }, lead + text + tail),
    ];
  });
}

/**
 * The gap before an item that becomes the first one. It is the gap of the old first item, unless that only aligns the item
 * with a column of longer numbers; then the item keeps its own.
 */
function firstGap(list: SequenceNode, gap: string): string {
  const { text } = list.chunk;
  const first = text.slice(list.start + 1, list.items[0]!.start);
  const alignsColumns = /^ *$/.test(first) && text[list.end - 2] !== ' ';
  return alignsColumns ? gap.replace(/^ /, '') : first;
}

/** Removes an item with its comma. Comments between items stay. */
function removal(
  list: SequenceNode,
  gapStarts: readonly number[],
  i: number,
  places: readonly Place[],
): Edit[] {
  const { chunk } = list;
  const node = list.items[i]!;
  const next = gapStarts[i + 1];
  const isLastRun = places.slice(i).every(({ item }) => item === undefined);
  const before = list.items[i - 1];
  const start = isLastRun && before ? before.end : gapStarts[i]!;
  const end = isLastRun && before ? node.end : (next ?? node.end);
  if (!chunk.text.slice(start, end).includes('#')) return [replace({ chunk, start, end }, '')];
  const comma = next === undefined ? node.end : chunk.text.indexOf(',', node.end) + 1;
  return [replace({ chunk, start: node.start, end: comma }, '')];
}

/** The offset after the bracket or comma that precedes an item. */
function gapStart(list: SequenceNode, i: number): number {
  const before = list.items[i - 1];
  if (!before) return list.start + 1;
  // A comment always runs to the end of its line, so the match is unambiguous and cannot backtrack.
  const separator = /(?:[^,#]|#[^\n]*(?:\n|$))*,/y;
  separator.lastIndex = before.end;
  separator.test(list.chunk.text);
  return separator.lastIndex;
}

/** Each item of a list with dashes has its own lines. */
function blockEdits(list: SequenceNode, places: readonly Place[]): Edit[] {
  const { chunk } = list;
  const { text } = chunk;
  const newline = text.includes('\r\n') ? '\r\n' : '\n';
  return places.flatMap(({ node, item, before, behind }) => {
    const lineStart = text.lastIndexOf('\n', node.start - 1) + 1;
    const dash = text.slice(lineStart, node.start);
    const lineEnd = endOfLine(text, node.end);
    const line = (one: Item) => `${dash}${one.text}`;
    if (!item)
      return [replace({ chunk, start: lineStart, end: Math.min(text.length, lineEnd + newline.length) }, '')];
    const old = text.slice(node.start, node.end);
    return [
      ...(before.length > 0
        ? [insertAt(list, lineStart, before.map((one) => line(one) + newline).join(''))]
        : []),
      ...(item.text !== undefined && item.text !== old ? [replace(node, item.text)] : []),
      ...(behind.length > 0
        ? [insertAt(list, lineEnd, behind.map((one) => newline + line(one)).join(''))]
        : []),
    ];
  });
}

function endOfLine(text: string, from: number): number {
  const at = text.indexOf('\n', from);
  if (at < 0) return text.length;
  return text[at - 1] === '\r' ? at - 1 : at;
}
