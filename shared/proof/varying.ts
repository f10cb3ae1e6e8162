import { add, enclose, type Interval, negate, point } from '../arithmetic/interval.ts';
import type { TableValue } from '../configuration/values.ts';
import type { Trace } from '../derived/trace.ts';
import type { Operand } from '../derived/value.ts';
import { halfWidthOf } from '../quantity/index.ts';

/**
 * Something that varies within its tolerance: a number of the file, or a table, whose values are all shifted together, from
 * −1 at the low end of their tolerance to 1 at the high end.
 */
export type Varying = Operand | TableValue;

/** The ranges of everything that varies among what a trace reads. */
export function varyingIn({ steps }: Pick<Trace, 'steps'>): ReadonlyMap<Varying, Interval> {
  const ranges = new Map<Varying, Interval>();
  for (const step of steps) {
    if (step.type === 'table' && step.table.tolerance) ranges.set(step.table, { low: -1, high: 1 });
    if (step.type !== 'input') continue;
    const range = rangeOf(step.operand);
    if (range) ranges.set(step.operand, range);
  }
  return ranges;
}

function rangeOf({ quantity, canonical }: Operand): Interval | undefined {
  if (!quantity?.tolerance) return undefined;
  const width = enclose(halfWidthOf(quantity.tolerance, quantity.canonical));
  if (width.high <= 0) return undefined;
  return add(point(canonical), { low: negate(width).low, high: width.high });
}
