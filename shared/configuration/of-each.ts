interface Made<Argument, Result> {
  readonly argument: Argument;
  readonly result: Result;
}

/** A list, and what was made of its members. */
interface Answered<Item, Argument, Result> {
  readonly items: readonly Item[];
  readonly argument: Argument;
  readonly results: readonly Result[];
}

/**
 * What a function makes of each member of a list, where it looks at nothing but the member and the argument. Members outlive a
 * keystroke elsewhere in the file, so only what is new is asked about. A list is mostly the last one with a member
 * changed, come or gone: what it shares with that one at its head and at its tail is taken over without looking up anything.
 */
export function ofEach<Item extends object, Argument, Result>(
  make: (item: Item, argument: Argument) => Result,
): (items: readonly Item[], argument: Argument) => readonly Result[] {
  const known = new WeakMap<Item, Made<Argument, Result>>();
  const one = (item: Item, argument: Argument): Result => {
    const last = known.get(item);
    if (last && Object.is(last.argument, argument)) return last.result;
    const result = make(item, argument);
    known.set(item, { argument, result });
    return result;
  };
  let last: Answered<Item, Argument, Result> | undefined;
  return (items, argument) => {
    const before = last && Object.is(last.argument, argument) ? last : undefined;
    if (before?.items === items) return before.results;
    const { head, tail } = sharedEnds(before?.items ?? [], items);
    const results = (before?.results ?? []).slice(0, head);
    for (let i = head; i < items.length - tail; i++) results.push(one(items[i]!, argument));
    if (before)
      for (let i = before.items.length - tail; i < before.items.length; i++) results.push(before.results[i]!);
    last = { items, argument, results };
    return results;
  };
}

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
