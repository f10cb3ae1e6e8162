import { type PathStep, pathText } from '../source/tree.ts';
import { type Item, leavesOf } from './item.ts';
import { sameLeaf } from './same.ts';

/** An item that went, and one that came, that are the same thing under another name or in another place. */
export interface Match {
  readonly was: Item;
  readonly is: Item;
}

/** The share of equal values from which two things are taken to be one. */
const ALIKE = 0.75;

/**
 * Finds among what went and what came the things that were only renamed or moved: sections of the same kind,
 * under names that anyone may choose, with all or most values equal. Who changes places with whom does not
 * hang on which of the two files is the old one.
 */
export function matchThings(removed: readonly Item[], added: readonly Item[]): Match[] {
  const pairs = removed.flatMap((was) =>
    added.flatMap((is) => {
      const share = mayBeOne(was, is) ? alike(was, is) : 0;
      return share >= ALIKE ? [{ was, is, share, order: orderOf(was, is) }] : [];
    }),
  );
  pairs.sort((a, b) => b.share - a.share || (a.order < b.order ? -1 : 1));
  const taken = new Set<Item>();
  return pairs.flatMap(({ was, is }) => {
    if (taken.has(was) || taken.has(is)) return [];
    taken.add(was).add(is);
    return [{ was, is }];
  });
}

/** The same among things inside others, where only those that keep their name can be told. */
export function matchMoved(removed: readonly Item[], added: readonly Item[]): Match[] {
  return matchThings(removed, added).filter(({ was, is }) => nameOf(was) === nameOf(is));
}

/** An item and all the things in it that have names of their own. */
export function thingsIn(item: Item): Item[] {
  if (item.type === 'leaf') return [item];
  return [item, ...[...item.entries.values()].flatMap(thingsIn)];
}

/** Things that keep their name come first, then by place; the same whichever file is the old one. */
function orderOf(was: Item, is: Item): string {
  const paths = [pathText(was.path), pathText(is.path)].sort();
  return `${nameOf(was) === nameOf(is) ? 0 : 1} ${paths.join(' ')}`;
}

export function nameOf({ path }: Item): PathStep {
  return path.at(-1) ?? '';
}

/**
 * Only a name that the author chose can be another one for the same thing: a signal that carries another
 * quantity is another signal. A wire may go to another position. One equal value is too little to know a
 * thing by.
 */
function mayBeOne(was: Item, is: Item): boolean {
  if (was.type !== 'section' || is.type !== 'section') return false;
  if (was.names === undefined || was.shape !== is.shape) return false;
  if (nameOf(was) === nameOf(is)) return true;
  return (was.names === 'thing' || was.names === 'position') && leavesOf(was).length > 1;
}

/** Equal values over all values of the two. */
function alike(was: Item, is: Item): number {
  const before = leavesBelow(was);
  const after = leavesBelow(is);
  const names = new Set([...before.keys(), ...after.keys()]);
  let equal = 0;
  for (const name of names) {
    const [left, right] = [before.get(name), after.get(name)];
    if (left && right && sameLeaf(left, right)) equal++;
  }
  return names.size === 0 ? 0 : equal / names.size;
}

function leavesBelow(item: Item) {
  const skip = item.path.length;
  return new Map(leavesOf(item).map((leaf) => [pathText(leaf.path.slice(skip)), leaf]));
}
