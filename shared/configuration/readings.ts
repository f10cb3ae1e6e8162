import type { Node } from '../source/tree.ts';
import { MANY, ofEach } from './of-each.ts';
import { sameItems } from './same-value.ts';
import type { Shape } from './shape.ts';
import type { Value } from './values.ts';

/** A value that was read, with the shape of its place: what hovers and the checks of single values go through. */
export interface Reading {
  readonly node: Node;
  readonly shape: Shape;
  readonly value: Value;
}

/** The readings of a section, in the order of the text, those of the sections in it below them. */
export interface ReadingTree {
  readonly items: readonly (Reading | ReadingTree)[];
  /** That of the section; undefined for what was put together of several. */
  readonly shape?: Shape;
}

/** The readings of a tree, one after the other. */
export function allReadings(tree: ReadingTree): Reading[] {
  const all: Reading[] = [];
  const collect = ({ items }: ReadingTree): void => {
    for (const item of items) {
      if ('items' in item) collect(item);
      else all.push(item);
    }
  };
  collect(tree);
  return all;
}

/** A reading of a value of some types. */
export type ReadingOf<Type extends Value['type']> = Reading & {
  readonly value: Extract<Value, { readonly type: Type }>;
};

const NONE: readonly never[] = [];

/**
 * What a function makes of every reading of a tree that is of some types, where it looks at nothing but the reading and the
 * argument. Sections outlive a keystroke elsewhere in the text, so only what is new is asked about.
 */
export function ofEachReading<Type extends Value['type'], Made, Argument>(
  types: readonly Type[],
  make: (reading: ReadingOf<Type>, argument: Argument) => Iterable<Made>,
): (tree: ReadingTree, argument: Argument) => readonly Made[] {
  type Kept = { readonly argument: Argument; readonly made: readonly Made[] };
  const known = new WeakMap<ReadingTree | Reading, Kept>();
  /** What is kept of all that nothing was made of, which is nearly everything. */
  let nothing: Kept | undefined;
  const kept = (key: ReadingTree | Reading, argument: Argument, all: () => readonly Made[]) => {
    const last = known.get(key);
    if (last && Object.is(last.argument, argument)) return last.made;
    const made = all();
    if (!nothing || !Object.is(nothing.argument, argument)) nothing = { argument, made: NONE };
    const now = made.length > 0 ? { argument, made } : nothing;
    known.set(key, now);
    return now.made;
  };
  // A table is much to look at, so it is kept by itself: its section may change elsewhere.
  const single = (reading: ReadingOf<Type>, argument: Argument): Iterable<Made> =>
    reading.value.type === 'table'
      ? kept(reading, argument, () => [...make(reading, argument)])
      : make(reading, argument);
  const isWanted = (reading: Reading): reading is ReadingOf<Type> =>
    types.includes(reading.value.type as Type);
  const ofItem = (item: Reading | ReadingTree, argument: Argument): Iterable<Made> => {
    if ('items' in item) return below(item, argument);
    return isWanted(item) ? single(item, argument) : NONE;
  };
  const ofMany = new WeakMap<
    Shape,
    ReturnType<typeof ofEach<Reading | ReadingTree, Argument, Iterable<Made>>>
  >();
  const eachOf = (shape: Shape) => {
    const each = ofMany.get(shape) ?? ofEach(ofItem);
    ofMany.set(shape, each);
    return each;
  };
  const below = (tree: ReadingTree, argument: Argument): readonly Made[] =>
    kept(tree, argument, () => {
      const { items, shape } = tree;
      const all: Made[] = [];
      const add = (list: Iterable<Made>) => {
        if (list !== NONE) for (const one of list) all.push(one);
      };
      if (shape && items.length >= MANY) eachOf(shape)(items, argument).forEach(add);
      else for (const item of items) add(ofItem(item, argument));
      return all;
    });
  return below;
}

/** The tree without what a test rejects; sections that lose nothing stay themselves, and so do what was made of them. */
export function readingsThat(tree: ReadingTree, isWanted: (reading: Reading) => boolean): ReadingTree {
  const items: (Reading | ReadingTree)[] = [];
  for (const item of tree.items) {
    if (!('items' in item)) {
      if (isWanted(item)) items.push(item);
      continue;
    }
    const left = readingsThat(item, isWanted);
    if (left.items.length > 0) items.push(left);
  }
  return sameItems(items, tree.items) ? tree : { items };
}
