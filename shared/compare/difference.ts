import { groupedBy } from '../grouped-by.ts';
import { formatUnit } from '../quantity/index.ts';
import type { PathStep } from '../source/tree.ts';
import { type Change, isRenaming, type Renaming, type Step, type ValueChange } from './change.ts';
import { gridDifference } from './grid.ts';
import type { Item, Leaf, Section } from './item.ts';
import { sameLeaf } from './same.ts';
import { stepBetween } from './step.ts';
import { type Match, matchMoved, matchThings, nameOf, thingsIn } from './things.ts';

/** Every difference between the old and the new items; empty if they are equal. */
export function differences(was: Section, is: Section): Change[] {
  const finder = new Finder();
  finder.section(was, is);
  finder.things();
  return foldReferences(withExchanges(finder.changes));
}

class Finder {
  readonly changes: Change[] = [];
  #removed: Item[] = [];
  #added: Item[] = [];

  section(was: Section, is: Section): void {
    for (const name of new Set([...was.entries.keys(), ...is.entries.keys()])) {
      const [before, after] = [was.entries.get(name), is.entries.get(name)];
      if (before && after) this.#item(before, after);
      else if (before) this.#removed.push(before);
      else this.#added.push(after!);
    }
  }

  #item(was: Item, is: Item): void {
    if (was.type === 'section' && is.type === 'section') this.section(was, is);
    else if (was.type === 'leaf' && is.type === 'leaf') {
      if (!sameLeaf(was, is)) this.changes.push(leafChange(was, is));
    } else {
      this.#removed.push(was);
      this.#added.push(is);
    }
  }

  /** Pairs removed with added items. A pair may contain further pairs, so this repeats until none is left. */
  things(): void {
    const [removed, added] = [this.#removed, this.#added];
    this.#removed = [];
    this.#added = [];
    if (removed.length + added.length === 0) return;
    const paired = this.#pair(matchThings(removed, added));
    const isLeft = (item: Item) => !paired.has(item);
    // A thing may have moved into an added section, or out of a removed one.
    const inner = (items: readonly Item[]) => items.filter(isLeft).flatMap(thingsIn);
    for (const item of this.#pair(matchMoved(inner(removed), inner(added)))) paired.add(item);
    this.changes.push(
      ...removed.filter(isLeft).map((was) => ({ type: 'removed', was }) as const),
      ...added.filter(isLeft).map((is) => ({ type: 'added', is }) as const),
    );
    this.things();
  }

  #pair(matches: readonly Match[]): Set<Item> {
    for (const { was, is } of matches) {
      const type = nameOf(was) === nameOf(is) || was.names === 'position' ? 'moved' : 'renamed';
      this.changes.push({ type, was, is, references: [] });
      this.#item(was, is);
    }
    return new Set(matches.flatMap(({ was, is }) => [was, is]));
  }
}

function leafChange(was: Leaf, is: Leaf): Change {
  const [before, after] = [was.value, is.value];
  if (before?.type === 'table' && after?.type === 'table') {
    const grid = gridDifference(before, after);
    if (grid) return { type: 'table', was, is, grid };
  }
  if (before?.type !== 'quantity' || after?.type !== 'quantity')
    return { type: 'value', was, is, step: undefined };
  const [old, now] = [before.quantity, after.quantity];
  const alike = old.unit?.dimension === now.unit?.dimension && old.reference === now.reference;
  const unit = now.unit ? formatUnit(now.unit, now.reference) : '';
  return {
    type: 'value',
    was,
    is,
    step:
      alike && !isHexadecimal(is) ? stepOf(is, stepBetween(old.canonical, now.canonical, unit)) : undefined,
  };
}

/** The zero of an offset is arbitrary, so it has no relative change. */
const stepOf = (leaf: Leaf, step: Step): Step =>
  nameOf(leaf) === 'offset' ? { ...step, ratio: undefined } : step;

/** An identifier such as `0x310` is a name in digits, so a difference means nothing. */
const isHexadecimal = ({ value }: Leaf): boolean =>
  value?.node.type === 'scalar' && /^0x/i.test(value.node.text);

/** Two values of the same key that changed places, such as the pins of two sensors. */
function withExchanges(changes: readonly Change[]): Change[] {
  const isExchange = (one: ValueChange, other: ValueChange) =>
    one !== other &&
    nameOf(one.is) === nameOf(other.is) &&
    sameLeaf(one.was, other.is) &&
    sameLeaf(one.is, other.was);
  const values = changes.filter((change) => change.type === 'value');
  const byKey = groupedBy(values, ({ is }) => nameOf(is));
  return changes.map((change) => {
    if (change.type !== 'value') return change;
    const [partner, ...others] = byKey.get(nameOf(change.is))!.filter((other) => isExchange(change, other));
    return partner && others.length === 0 ? { ...change, exchangedWith: partner.is } : change;
  });
}

/** A key that refers to a renamed thing changes with it; that is part of the renaming. */
function foldReferences(changes: readonly Change[]): Change[] {
  const referring = groupedBy(
    changes.filter((change) => change.type === 'value').filter(({ is }) => is.shape?.names !== undefined),
    ({ was, is }) => namesText(textOf(was), textOf(is)),
  );
  const following = ({ type, was, is }: Renaming): readonly ValueChange[] =>
    (type === 'renamed' && referring.get(namesText(nameOf(was), nameOf(is)))) || [];
  const folded = new Set<Change>(changes.filter(isRenaming).flatMap(following));
  return changes
    .filter((change) => !folded.has(change))
    .map((change) => (isRenaming(change) ? { ...change, references: following(change) } : change));
}

const namesText = (...names: (PathStep | undefined)[]): string => JSON.stringify(names);

function textOf({ value }: Leaf): string | undefined {
  return value?.type === 'text' ? value.text : undefined;
}
