import { memoFlatMap } from '../memo.ts';
import type { Found } from './check.ts';

/**
 * The findings of a check for each item of a list, cached by item and settings. The check may use nothing else: `settings`
 * are its thresholds, or whatever else the items are compared with.
 */
export const judgeEach = <Item extends object, Settings>(
  judge: (item: Item, settings: Settings) => Iterable<Found>,
) => memoFlatMap(judge);
