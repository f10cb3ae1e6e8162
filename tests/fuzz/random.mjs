// Random choices that can be reproduced from a seed.

/** @param {number} seed */
export function randomOf(seed) {
  let state = seed >>> 0;
  /** From 0 to 1 (mulberry32, a generator in the public domain). */
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
  const below = (end) => Math.floor(next() * end);
  return { below, pick: (items) => items[below(items.length)] };
}
