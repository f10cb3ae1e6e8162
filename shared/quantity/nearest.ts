import type { Dimension } from './kinds.ts';
import { slipsBetween } from './nearest-word.ts';
import type { Unit } from './unit.ts';
import { units } from './units.ts';

/**
 * The unit that was probably meant by `text`: its spelling in another case, or one typing error away (two in a long
 * name). Undefined if none is that close.
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
