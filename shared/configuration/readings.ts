import { memo } from '../memo.ts';
import type { Node } from '../source/tree.ts';
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
export function eachReading<Type extends Value['type'], Made, Argument>(
  types: readonly Type[],
  make: (reading: ReadingOf<Type>, argument: Argument) => Iterable<Made>,
): (tree: ReadingTree, argument: Argument) => readonly Made[] {
  const isWanted = (reading: Reading): reading is ReadingOf<Type> =>
    types.includes(reading.value.type as Type);
  // A table is much to look at, so it is kept by itself: its section may change elsewhere.
  const ofTable = memo((argument: Argument, reading: ReadingOf<Type>) =>
    orNone([...make(reading, argument)]),
  );
  const below = memo((argument: Argument, { items }: ReadingTree): readonly Made[] => {
    const all: Made[] = [];
    for (const item of items) for (const made of ofItem(argument, item)) all.push(made);
    return orNone(all);
  });
  const ofItem = (argument: Argument, item: Reading | ReadingTree): Iterable<Made> => {
    if ('items' in item) return below(argument, item);
    if (!isWanted(item)) return NONE;
    return item.value.type === 'table' ? ofTable(argument, item) : make(item, argument);
  };
  return (tree, argument) => below(argument, tree);
}

/** Nothing is made of nearly everything: the same nothing. */
const orNone = <Item>(list: readonly Item[]): readonly Item[] => (list.length > 0 ? list : NONE);

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
