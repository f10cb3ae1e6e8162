import { memoFlatMap } from '../memo.ts';
import type { Found } from './check.ts';

/**
 * What a check says of each item of a list, where it looks at nothing but the item and its own thresholds, or whatever else
 * the items are held against.
 */
export const judgeEach = <Item extends object, Settings>(
  judge: (item: Item, settings: Settings) => Iterable<Found>,
) => memoFlatMap(judge);
