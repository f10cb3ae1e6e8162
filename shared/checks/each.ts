import type { Found } from './check.ts';

type Judge<Item, Settings> = (item: Item, settings: Settings) => Iterable<Found>;

interface Judged {
  /** The thresholds that were applied, or whatever else the item was held against. */
  readonly settings: unknown;
  readonly found: readonly Found[];
}

const NOTHING: readonly Found[] = [];

/**
 * What a check says of each item of a list, where it looks at nothing but the item and its own thresholds. Readings, tables
 * and thresholds outlive a keystroke elsewhere in the file, so only what is new is judged.
 */
export function judgeEach<Item extends object, Settings>(
  judge: Judge<Item, Settings>,
): (items: Iterable<Item>, settings: Settings) => readonly Found[] {
  const judged = new WeakMap<Item, Judged>();
  return (items, settings) => {
    const all: Found[] = [];
    for (const item of items) {
      let last = judged.get(item);
      if (!last || !Object.is(last.settings, settings)) {
        const found = [...judge(item, settings)];
        last = { settings, found: found.length > 0 ? found : NOTHING };
        judged.set(item, last);
      }
      for (const one of last.found) all.push(one);
    }
    return all;
  };
}
