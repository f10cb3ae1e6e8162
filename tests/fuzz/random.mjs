// Random choices that can be reproduced from a seed.

/**
 * Numbers from 0 to 1 (mulberry32, a generator in the public domain): good enough for noise, and short.
 * @param {number} seed
 * @returns {() => number}
 */
export function uniformsOf(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** @param {number} seed */
export function randomOf(seed) {
  const next = uniformsOf(seed);
  const below = (end) => Math.floor(next() * end);
  return { below, pick: (items) => items[below(items.length)] };
}
