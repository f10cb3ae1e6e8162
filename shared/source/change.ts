/**
 * The lines in which a text differs from its previous version: from `from` to `to`. Text after them has moved by
 * `shift`.
 */
export interface Change {
  readonly from: number;
  readonly to: number;
  readonly shift: number;
}

/** The lines in which two texts differ. */
export function changeBetween(before: string, after: string): Change {
  const shift = after.length - before.length;
  const shorter = Math.min(before.length, after.length);
  const same = (at: number, end: number) => before.slice(at, end) === after.slice(at, end);
  const head = commonLength(shorter, same);
  const tail = commonLength(shorter - head, (from, to) => sameFromEnd(before, after, from, to));
  const from = after.lastIndexOf('\n', head - 1) + 1;
  const lineEnd = tail === 0 ? -1 : after.indexOf('\n', after.length - tail);
  return { from: head === 0 ? 0 : from, to: lineEnd < 0 ? after.length : lineEnd + 1, shift };
}

const sameFromEnd = (one: string, other: string, from: number, to: number): boolean =>
  one.slice(one.length - to, one.length - from) === other.slice(other.length - to, other.length - from);

/** The length of the common start of two texts, up to `most`. Compares long stretches first, then shorter ones. */
function commonLength(most: number, isSame: (from: number, to: number) => boolean): number {
  let same = 0;
  for (let stretch = 65_536; stretch >= 1; stretch /= 16)
    while (same + stretch <= most && isSame(same, same + stretch)) same += stretch;
  return same;
}

/** The entries before the change, the new ones and those after it. */
export function joined<Numbers extends Int32Array | Uint8Array>(
  Type: new (length: number) => Numbers,
  before: Numbers,
  fresh: Numbers,
  head: number,
  tail: number,
): Numbers {
  const all = new Type(head + fresh.length + before.length - tail);
  all.set(before.subarray(0, head), 0);
  all.set(fresh, head);
  all.set(before.subarray(tail), head + fresh.length);
  return all;
}

/** The index of the first of ascending positions that is at or after `at`. */
export function firstAt(places: Int32Array, at: number): number {
  let low = 0;
  let high = places.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (places[middle]! < at) low = middle + 1;
    else high = middle;
  }
  return low;
}
