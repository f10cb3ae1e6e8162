import type { Dimension } from './kinds.ts';
import type { Unit } from './unit.ts';
import { units } from './units.ts';

/** The wrong case is half a slip: `Kpa` is nearer to `kPa` than to `hPa`. */
const WRONG_CASE = 0.5;

/**
 * The unit that somebody meant who wrote `text`: its spelling in another case, or one slip away (two in a
 * long name). Undefined where nothing is that near.
 */
export function nearestUnit(text: string, dimension?: Dimension): Unit | undefined {
  if (text.length > 20) return undefined;
  let nearest: Unit | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const unit of units) {
    if (dimension !== undefined && unit.dimension !== dimension) continue;
    for (const name of unit.names) {
      const slips = slipsBetween(text, name);
      if (slips < least && isNear(text, name, slips)) [nearest, least] = [unit, slips];
    }
  }
  return nearest;
}

function isNear(text: string, name: string, slips: number): boolean {
  if (text.toLowerCase() === name.toLowerCase()) return true;
  const length = Math.max(text.length, name.length);
  return slips <= (length >= 5 ? 2 : 1) && slips < length;
}

/** Insertions, deletions, replacements and swaps of neighbours that make one text the other. */
export function slipsBetween(from: string, to: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: to.length + 1 }, (_, j) => j);
  for (let i = 1; i <= from.length; i++) {
    const row = [i];
    for (let j = 1; j <= to.length; j++) {
      const [a, b] = [from[i - 1]!, to[j - 1]!];
      const replaced = a === b ? 0 : a.toLowerCase() === b.toLowerCase() ? WRONG_CASE : 1;
      row[j] = Math.min(last[j]! + 1, row[j - 1]! + 1, last[j - 1]! + replaced);
      const swapped = a !== b && a === to[j - 2] && b === from[i - 2];
      if (swapped) row[j] = Math.min(row[j]!, beforeLast[j - 2]! + 1);
    }
    [beforeLast, last] = [last, row];
  }
  return last[to.length]!;
}
