import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { Engine, Installation } from '../configuration/installation.ts';
import { lookUp } from '../configuration/lookup.ts';
import { sameAxis, sameValue } from '../configuration/same-value.ts';
import { isSection, nodeOf, type TableValue, type Value, valueAtPath } from '../configuration/values.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { groupedBy } from '../grouped-by.ts';
import { memo } from '../memo.ts';
import { differenceUnit, formatNumber, formatQuantity, type Quantity } from '../quantity/index.ts';
import type { Node } from '../source/tree.ts';

/** One value of the engine that a map set overrides, and the effect. */
export interface MapSetChange {
  readonly set: string;
  /** Dotted path in the engine: `boost.target`. */
  readonly path: string;
  /** Where the set writes it; an editor shows `text` there. */
  readonly node: Node;
  /** The engine's value without the set. */
  readonly before: Value | undefined;
  readonly after: Value;
  readonly changes: boolean;
  /** `changes boost.target: 7 of 9 cells, −30…+12 kPa`. */
  readonly text: string;
}

/**
 * The values that each map set writes, in the order of the file, including values that equal those of the base.
 */
export const mapSetChanges: (installation: Installation) => readonly MapSetChange[] = memo(allChanges);

function allChanges(installation: Installation): MapSetChange[] {
  const [base] = installation.engines;
  const sets = installation.configuration.map_sets?.sets ?? {};
  return installation.engines.flatMap((engine) => {
    const apply = engine.mapSet === undefined ? undefined : sets[engine.mapSet]?.apply;
    if (!apply || !base) return [];
    return leavesOf(apply, []).flatMap((path) => changeOf(base.configuration, engine, path) ?? []);
  });
}

/** The paths to every value under a bound section; a list counts as one value. */
function leavesOf(section: object, path: readonly string[]): string[][] {
  return Object.entries(section).flatMap(([key, bound]) =>
    isSection(bound) ? leavesOf(bound, [...path, key]) : [[...path, key]],
  );
}

function changeOf(
  base: EngineConfiguration,
  { mapSet, configuration }: Engine,
  path: readonly string[],
): MapSetChange | undefined {
  const before = valueAtPath(base, path);
  const after = valueAtPath(configuration, path);
  if (!after) return undefined;
  const name = path.join('.');
  const changes = !isSameAs(after, before);
  return {
    set: mapSet!,
    path: name,
    node: nodeOf(after),
    before,
    after,
    changes,
    // Built on demand: checks compare the values only.
    get text() {
      if (!changes) return `leaves ${name} unchanged`;
      return before ? `changes ${name}: ${difference(before, after)}` : `adds ${name}: ${wordsOf(after)}`;
    },
  };
}

/** Cached, because comparing tables is slow and unchanged values stay the same objects. */
const isSameAs = memo((after: Value, before: Value | undefined) => sameValue(before, after));

/** A change of a value, in short. */
function difference(before: Value, after: Value): string {
  if (before.type === 'table' && after.type === 'table')
    return tableDifference(before, after) ?? `different table, ${wordsOf(after)}`;
  return `${wordsOf(before)} → ${wordsOf(after)}`;
}

function wordsOf(value: Value): string {
  if (value.type === 'table') return `${value.rows.flat().length} cells`;
  if (value.node.type === 'scalar') return value.node.text;
  const { chunk, start, end } = value.node;
  return chunk.text.slice(start, end).split('\n', 1)[0]!;
}

/**
 * How many cells differ and by how much, if both tables have the same unit and axis quantities. Tables with different
 * breakpoints are compared at those of the second.
 */
function tableDifference(before: TableValue, after: TableValue): string | undefined {
  if (!before.cells || !after.cells || before.reference !== after.reference) return undefined;
  const fits = (one: 'x' | 'y') =>
    before[one]?.quantity === after[one]?.quantity && before[one]?.reference === after[one]?.reference;
  if (!fits('x') || !fits('y')) return undefined;
  const differences = Array.from(after.cells, (cell, i) => {
    const width = after.x!.breakpoints.length;
    const x = after.x!.breakpoints[i % width]!;
    const y = after.y?.breakpoints[Math.floor(i / width)];
    return cell - lookUp(before, x, y)!;
  });
  const largest = maximumOf(after.cells.map(Math.abs));
  const moved = differences.filter((by) => Math.abs(by) > 1e-9 * largest);
  const elsewhere =
    sameAxis(before.x, after.x) && sameAxis(before.y, after.y) ? '' : ', on different breakpoints';
  return `${moved.length} of ${after.cells.length} cells${spanOf(moved, after.unit)}${elsewhere}`;
}

/** `, −30…+12 kPa`: the lowest and highest of some differences of values in `unit`. */
function spanOf(differences: readonly number[], unit: string): string {
  if (differences.length === 0) return '';
  const [low, high] = [minimumOf(differences), maximumOf(differences)];
  const measure = differenceUnit(unit);
  const signed = (number: number): string => {
    const text = formatQuantity(Math.abs(number), measure, 3).split(' ')[0]!;
    return `${number < 0 ? '−' : '+'}${text}`;
  };
  const span =
    formatNumber(low, 3) === formatNumber(high, 3) ? signed(low) : `${signed(low)}…${signed(high)}`;
  return `, ${span} ${measure}`.trimEnd();
}

/** The values that a set really changes, by path. */
interface Effect {
  readonly set: string;
  readonly values: ReadonlyMap<string, Value>;
}

/**
 * The map sets that result in the same engine as an earlier one, each with that earlier one. Only sets with the same texts
 * and equal sums of numbers are compared: a switch may have thousands.
 */
export function twinsAmong(
  changes: readonly MapSetChange[],
  sets: readonly string[],
): ReadonlyMap<string, string> {
  const bySet = groupedBy(changes, ({ set }) => set);
  const effects = sets.map((set): Effect => {
    const own = (bySet.get(set) ?? []).filter((one) => one.changes);
    return { set, values: new Map(own.map(({ path, after }) => [path, after])) };
  });
  const twins = new Map<string, string>();
  for (const alike of groupedBy(effects, wordsIn).values()) {
    for (const group of ofLikeSums(alike)) {
      for (const one of group) {
        const first = group.find((other) => other === one || sameEffect(one, other))!;
        if (first !== one) twins.set(one.set, first.set);
      }
    }
  }
  return twins;
}

const sameEffect = ({ values: a }: Effect, { values: b }: Effect): boolean =>
  a.size === b.size && [...a].every(([path, value]) => sameValue(value, b.get(path)));

/** Relative tolerance of a sum: equal numbers differ by less than 1e-9. */
const SUM_ROUNDING = 2e-9;

/** Effects grouped by the sum of their numbers, in their original order. */
function ofLikeSums(effects: readonly Effect[]): Effect[][] {
  const summed = effects.map((effect, order) => ({ effect, order, sum: sumOf(effect) }));
  summed.sort((a, b) => a.sum - b.sum);
  const parts: (typeof summed)[] = [];
  for (const [i, one] of summed.entries()) {
    const before = summed[i - 1];
    if (before && one.sum <= before.sum * (1 + SUM_ROUNDING)) parts.at(-1)!.push(one);
    else parts.push([one]);
  }
  return parts.map((part) => part.sort((a, b) => a.order - b.order).map(({ effect }) => effect));
}

const byPath = ({ values }: Effect): [path: string, value: Value][] =>
  [...values].sort(([a], [b]) => (a < b ? -1 : 1));

/** The paths and text values that a set changes. */
const wordsIn = (effect: Effect): string =>
  JSON.stringify(byPath(effect).map(([path, value]) => [path, textsIn(value)]));

function textsIn(value: Value): unknown {
  if (value.type === 'text') return value.text;
  if (value.type === 'flag') return value.flag;
  return value.type === 'list' ? (value.items as Value[]).map(textsIn) : value.type;
}

/** Weighted by position, so that the same numbers in another order have a different sum. */
function sumOf(effect: Effect): number {
  const numbers = byPath(effect).flatMap(([, value]) => numbersIn(value));
  return numbers.reduce((sum, number, i) => sum + (i + 1) * Math.abs(number), 0);
}

function numbersIn(value: Value): number[] {
  switch (value.type) {
    case 'quantity':
      return [value.canonical];
    case 'range':
      return [value.low.canonical, value.high.canonical];
    case 'table':
      return [...(value.x?.breakpoints ?? []), ...(value.y?.breakpoints ?? []), ...(value.cells ?? [])];
    case 'relation':
      // The points may be written in any order.
      return [addedUp(value.points.map(({ from }) => from)), addedUp(value.points.map(({ to }) => to))];
    case 'list':
      return (value.items as Value[]).flatMap(numbersIn);
    default:
      return [];
  }
}

const addedUp = (quantities: readonly Quantity[]): number =>
  quantities.reduce((sum, { canonical }) => sum + Math.abs(canonical), 0);
