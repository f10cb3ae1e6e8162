import { uniformsOf } from '../../tests/fuzz/random.mjs';

/** Reproducible random numbers, the same in every run of a test. */
export interface Random {
  /** From `low` to `high`. */
  uniform(low: number, high: number): number;
  /** Of the standard normal distribution. */
  normal(): number;
}

export function randomOf(seed: number): Random {
  // Seeds that follow each other are spread over the range.
  const next = uniformsOf((seed * 2654435761) >>> 0 || 1);
  return {
    uniform: (low, high) => low + (high - low) * next(),
    normal: () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
  };
}
