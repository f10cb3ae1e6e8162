import { oncePer } from './parts.ts';

/** A list, and what was made of its members. */
interface Answered<Item, Argument, Result> {
  readonly items: readonly Item[];
  readonly argument: Argument;
  readonly results: readonly Result[];
}

/** The sections of a file, or its map sets, may each be held against something else; for so many the last list is remembered. */
const MOST_REMEMBERED = 8;

/**
 * What a function makes of each member of a list, where it looks at nothing but the member and the argument. After a keystroke
 * a list mostly is the last one with a member changed, come or gone. So only what stands between the ends that the two
 * lists share is asked about; comparing two lists takes a thousandth of asking, and less than looking each member up.
 * Where the same was made of all members as of the last list, the very same list is given.
 */
export function ofEach<Item, Argument, Result>(
  make: (item: Item, argument: Argument) => Result,
): (items: readonly Item[], argument: Argument) => readonly Result[] {
  /** The last used first. */
  const remembered: Answered<Item, Argument, Result>[] = [];
  return (items, argument) => {
    const index = remembered.findIndex((one) => Object.is(one.argument, argument));
    const last = remembered[index];
    if (last?.items === items) return last.results;
    const { head, tail } = sharedEnds(last?.items ?? [], items);
    const made: Result[] = [];
    for (let i = head; i < items.length - tail; i++) made.push(make(items[i]!, argument));
    const results = last ? spliced(last.results, head, last.items.length - tail, made) : made;
    if (last) remembered.splice(index, 1);
    else if (remembered.length === MOST_REMEMBERED) remembered.pop();
    remembered.unshift({ items, argument, results });
    return results;
  };
}

const NONE: readonly never[] = [];

/** What a function makes of the members of a list as `ofEach` has it, in one list, which is the same as long as all of it is. */
export function ofAll<Item, Argument, Made>(
  make: (item: Item, argument: Argument) => Iterable<Made>,
): (items: readonly Item[], argument: Argument) => readonly Made[] {
  const each = ofEach((item: Item, argument: Argument): readonly Made[] => {
    const made = [...make(item, argument)];
    return made.length > 0 ? made : NONE;
  });
  const joined = oncePer((lists: readonly (readonly Made[])[]): readonly Made[] => {
    const all: Made[] = [];
    for (const list of lists) if (list !== NONE) for (const one of list) all.push(one);
    return all;
  });
  return (items, argument) => joined(each(items, argument));
}

/** A list with other members in place of some; the list itself where they are the same. */
function spliced<Member>(
  list: readonly Member[],
  from: number,
  to: number,
  members: readonly Member[],
): readonly Member[] {
  const isSame = members.length === to - from && members.every((one, i) => Object.is(one, list[from + i]));
  return isSame ? list : list.slice(0, from).concat(members, list.slice(to));
}

/** A section of so many members is mostly the last one of its kind with one of them changed. */
export const MANY = 32;

/** How many members two lists share at their heads and, behind those, at their tails. */
export function sharedEnds(
  one: readonly unknown[],
  other: readonly unknown[],
): { readonly head: number; readonly tail: number } {
  const shorter = Math.min(one.length, other.length);
  let head = 0;
  while (head < shorter && one[head] === other[head]) head++;
  let tail = 0;
  while (tail < shorter - head && one[one.length - 1 - tail] === other[other.length - 1 - tail]) tail++;
  return { head, tail };
}
