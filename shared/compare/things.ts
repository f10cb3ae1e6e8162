import { groupedBy } from '../grouped-by.ts';
import { memo } from '../memo.ts';
import { type PathStep, pathText } from '../source/tree.ts';
import { type Item, type Leaf, leavesOf, type Section } from './item.ts';
import { plainText, sameLeaf } from './same.ts';

/** A removed and an added item that are the same thing under another name or in another place. */
export interface Match {
  readonly was: Item;
  readonly is: Item;
}

/** The share of equal values from which two things are considered the same. Common practice, no source. */
const ALIKE = 0.75;

/**
 * Finds the things that were only renamed or moved: sections of the same kind, under names that the author chooses,
 * with all or most values equal. The pairs do not depend on which of the two files is the old one.
 */
export function matchThings(removed: readonly Item[], added: readonly Item[]): Match[] {
  const came = groupedBy(added.filter(isThing), ({ shape }) => shape);
  const went = groupedBy(removed.filter(isThing), ({ shape }) => shape);
  const pairs = [...went].flatMap(([shape, was]) => pairsOfShape(was, came.get(shape) ?? []));
  return pairs.sort(inOrder).map(({ was, is }) => ({ was, is }));
}

/** Two things that may be the same. */
interface Pair {
  readonly was: Section;
  readonly is: Section;
  readonly share: number;
  readonly order: string;
}

const pairOf = (was: Section, is: Section, share: number): Pair => ({
  was,
  is,
  share,
  order: orderOf(was, is),
});

const inOrder = (a: Pair, b: Pair): number => b.share - a.share || (a.order < b.order ? -1 : 1);

/** A section under a name that the author chooses, with at least one value. */
const isThing = (item: Item): item is Section =>
  item.type === 'section' && item.names !== undefined && leavesBelow(item).size > 0;

/** Things with equal texts are paired first; only the remaining ones are compared with each other. */
function pairsOfShape(removed: readonly Section[], added: readonly Section[]): Pair[] {
  const came = groupedBy(added, textBelow);
  const equal = [...groupedBy(removed, textBelow)].flatMap(([text, was]) =>
    equalPairs(was, came.get(text) ?? []),
  );
  const taken = new Set<Section>(equal.flatMap(({ was, is }) => [was, is]));
  const isLeft = (item: Section) => !taken.has(item);
  const alikePairs = heldTogether(removed.filter(isLeft), added.filter(isLeft)).sort(inOrder);
  const others = alikePairs.filter(({ was, is }) => {
    if (taken.has(was) || taken.has(is)) return false;
    taken.add(was).add(is);
    return true;
  });
  return [...equal, ...others];
}

/** Pairs things with equal texts: by name, then by place. */
function equalPairs(removed: readonly Section[], added: readonly Section[]): Pair[] {
  const came = groupedBy(added, nameOf);
  const named = [...groupedBy(removed, nameOf)].flatMap(([name, was]) => zipped(was, came.get(name) ?? []));
  const taken = new Set<Section>(named.flatMap(({ was, is }) => [was, is]));
  const isLeft = (item: Section) => !taken.has(item);
  return [...named, ...zipped(removed.filter(isLeft).filter(mayBeRenamed), added.filter(isLeft))];
}

function zipped(removed: readonly Section[], added: readonly Section[]): Pair[] {
  const byPlace = (items: readonly Section[]) =>
    items
      .map((item) => ({ item, path: pathText(item.path) }))
      .sort((a, b) => (a.path < b.path ? -1 : 1))
      .map(({ item }) => item);
  const [went, came] = [byPlace(removed), byPlace(added)];
  return went.slice(0, came.length).map((was, i) => pairOf(was, came[i]!, 1));
}

/** Beyond this number of pairs, only things of the same name are compared. */
const MOST_PAIRS = 250_000;

/** Pairs with enough equal values. */
function heldTogether(removed: readonly Section[], added: readonly Section[]): Pair[] {
  if (removed.length * added.length <= MOST_PAIRS) return alikeAmong(removed, added);
  const came = groupedBy(added, nameOf);
  return [...groupedBy(removed, nameOf)].flatMap(([name, was]) => {
    const is = came.get(name) ?? [];
    return was.length * is.length <= MOST_PAIRS ? alikeAmong(was, is) : [];
  });
}

function alikeAmong(removed: readonly Section[], added: readonly Section[]): Pair[] {
  return removed.flatMap((was) =>
    added.flatMap((is) => {
      const share = mayBeOne(was, is) ? alike(was, is) : 0;
      return share >= ALIKE ? [pairOf(was, is, share)] : [];
    }),
  );
}

/** The same for things inside others, where only those that keep their name can be recognised. */
export function matchMoved(removed: readonly Item[], added: readonly Item[]): Match[] {
  return matchThings(removed, added).filter(({ was, is }) => nameOf(was) === nameOf(is));
}

/** An item and all items below it. */
export function thingsIn(item: Item): Item[] {
  if (item.type === 'leaf') return [item];
  return [item, ...[...item.entries.values()].flatMap(thingsIn)];
}

/** Things that keep their name come first, then by place; the same in both directions of a comparison. */
function orderOf(was: Item, is: Item): string {
  const paths = [pathText(was.path), pathText(is.path)].sort();
  return `${nameOf(was) === nameOf(is) ? 0 : 1} ${paths.join(' ')}`;
}

export function nameOf({ path }: Item): PathStep {
  return path.at(-1) ?? '';
}

/**
 * Only a name that the author chose can change: a signal with another quantity is another signal. A wire may move to
 * another position. One equal value is not enough to recognise a thing.
 */
const mayBeRenamed = (was: Section): boolean =>
  (was.names === 'thing' || was.names === 'position') && leavesBelow(was).size > 1;

const mayBeOne = (was: Section, is: Section): boolean => nameOf(was) === nameOf(is) || mayBeRenamed(was);

/** The share of equal values among all values of both. */
function alike(was: Section, is: Section): number {
  const [before, after] = [leavesBelow(was), leavesBelow(is)];
  let all = after.size;
  let equal = 0;
  for (const [name, left] of before) {
    const right = after.get(name);
    if (!right) all++;
    else if (sameLeaf(left, right)) equal++;
  }
  return equal / all;
}

const leavesBelow = memo((item: Section): ReadonlyMap<string, Leaf> => {
  const skip = item.path.length;
  return new Map(leavesOf(item).map((leaf) => [pathText(leaf.path.slice(skip)), leaf]));
});

/** All values of a thing, as written. */
function textBelow(item: Section): string {
  const texts = [...leavesBelow(item)].map(([path, { node }]) => `${path} ${plainText(node)}`);
  return texts.sort().join('\n');
}
