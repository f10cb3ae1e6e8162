import { memoFlatMap } from '../memo.ts';
import type { Found } from './check.ts';

/**
 * Runs a check on each item of a list and caches the findings of each. `judge` may read only the item and `settings`: its
 * thresholds, or whatever else all items are compared with.
 */
export const checkEach = <Item extends object, Settings>(
  judge: (item: Item, settings: Settings) => Iterable<Found>,
) => memoFlatMap(judge);
