/** Reproducible random numbers, the same in every run of a test. */
export interface Random {
  /** From `low` to `high`. */
  uniform(low: number, high: number): number;
  /** Of the standard normal distribution. */
  normal(): number;
}

export function randomOf(seed: number): Random {
  let state = (seed * 2654435761) >>> 0 || 1;
  // mulberry32, a public-domain generator by T. Ettinger: good enough for noise, and short.
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = state;
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
  return {
    uniform: (low, high) => low + (high - low) * next(),
    normal: () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
  };
}
