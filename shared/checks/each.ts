import { ofEach } from '../configuration/of-each.ts';
import { oncePer } from '../configuration/parts.ts';
import type { Found } from './check.ts';

type Judge<Item, Settings> = (item: Item, settings: Settings) => Iterable<Found>;

const NOTHING: readonly Found[] = [];

/**
 * What a check says of each item of a list, where it looks at nothing but the item and its own thresholds, or whatever else
 * the items are held against.
 */
export function judgeEach<Item, Settings>(
  judge: Judge<Item, Settings>,
): (items: readonly Item[], settings: Settings) => readonly Found[] {
  const judged = ofEach((item: Item, settings: Settings): readonly Found[] => {
    const found = [...judge(item, settings)];
    return found.length > 0 ? found : NOTHING;
  });
  return (items, settings) => allOf(judged(items, settings));
}

const allOf = oncePer((lists: readonly (readonly Found[])[]): readonly Found[] => {
  const all: Found[] = [];
  for (const found of lists) if (found !== NOTHING) for (const one of found) all.push(one);
  return all;
});
