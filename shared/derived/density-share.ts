import type { TableValue } from '../configuration/values.ts';

/** How much of the change of air density a correction over temperature repeats, from its coldest to its hottest value. */
export interface DensityShare {
  /** 1 for a correction that is proportional to density, 0 for none, negative for one that rises with temperature. */
  readonly share: number;
  /** K */
  readonly cold: number;
  readonly hot: number;
  readonly first: number;
  readonly last: number;
}

/** Undefined for an incomplete curve. At constant pressure, density is inversely proportional to temperature. */
export function densityShare({ cells, x }: TableValue): DensityShare | undefined {
  const [cold, hot] = [x?.breakpoints[0], x?.breakpoints.at(-1)];
  const [first, last] = [cells?.[0], cells?.at(-1)];
  if (!cold || !hot || !first || !last || hot <= cold || first <= 0 || last <= 0) return undefined;
  return { share: Math.log(first / last) / Math.log(hot / cold), cold, hot, first, last };
}
