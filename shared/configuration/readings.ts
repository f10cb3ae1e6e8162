import { memo } from '../memo.ts';
import type { Node } from '../source/tree.ts';
import { sameItems } from './same-value.ts';
import type { Shape } from './shape.ts';
import type { Value } from './values.ts';

/** A value that was read, with its shape. Hovers and the checks of single values use it. */
export interface Reading {
  readonly node: Node;
  readonly shape: Shape;
  readonly value: Value;
}

/** The readings of a section in the order of the text; nested sections are subtrees. */
export interface ReadingTree {
  readonly items: readonly (Reading | ReadingTree)[];
}

/** The readings of a tree as a flat sequence. */
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

/** A reading whose value has one of these types. */
export type ReadingOf<Type extends Value['type']> = Reading & {
  readonly value: Extract<Value, { readonly type: Type }>;
};

const NONE: readonly never[] = [];

/**
 * Applies a function to every reading of the given types and concatenates the results. `make` must depend only on the
 * reading and the argument. Results are cached by section, so after an edit only changed sections are processed again.
 */
export function eachReading<Type extends Value['type'], Made, Argument>(
  types: readonly Type[],
  make: (reading: ReadingOf<Type>, argument: Argument) => Iterable<Made>,
): (tree: ReadingTree, argument: Argument) => readonly Made[] {
  const isWanted = (reading: Reading): reading is ReadingOf<Type> =>
    types.includes(reading.value.type as Type);
  // Processing a table is slow, so its result is cached separately from the rest of its section.
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

/** Most results are empty; they share one array. */
const orNone = <Item>(list: readonly Item[]): readonly Item[] => (list.length > 0 ? list : NONE);

/**
 * The tree with only the readings that pass the test. Sections that lose nothing stay the same objects, and results
 * cached by them stay valid.
 */
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
