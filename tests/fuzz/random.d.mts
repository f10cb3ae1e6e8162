export function randomOf(seed: number): {
  /** A whole number from 0 up to, but not including, the end. */
  below(end: number): number;
  pick<T>(items: readonly T[]): T;
};

/** Numbers from 0 to 1 that a seed determines. */
export function uniformsOf(seed: number): () => number;
