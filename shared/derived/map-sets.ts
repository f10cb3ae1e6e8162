import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { Engine, Installation } from '../configuration/installation.ts';
import { lookUp } from '../configuration/lookup.ts';
import { oncePer } from '../configuration/parts.ts';
import { sameAxis, sameValue } from '../configuration/same-value.ts';
import { nodeOf, nodesOf, type TableValue, type Value } from '../configuration/values.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { formatNumber, formatQuantity, splitUnit } from '../quantity/index.ts';
import type { Node } from '../source/tree.ts';

/** One value that a map set lays over the engine, and what it makes of it. */
export interface MapSetChange {
  readonly set: string;
  /** Dotted path in the engine: `boost.target`. */
  readonly path: string;
  /** Where the set writes it; an editor shows `text` there. */
  readonly node: Node;
  /** What the engine has without the set. */
  readonly before: Value | undefined;
  readonly after: Value;
  readonly changes: boolean;
  /** `changes boost.target: 7 of 9 cells, −30…+12 kPa`. */
  readonly text: string;
}

/**
 * What each map set changes, in the order of the file. A value that the set repeats from the base is among
 * them.
 */
export const mapSetChanges: (installation: Installation) => readonly MapSetChange[] = oncePer(allChanges);

function allChanges(installation: Installation): MapSetChange[] {
  const [base] = installation.engines;
  const sets = installation.configuration.map_sets?.sets ?? {};
  return installation.engines.flatMap((engine) => {
    const apply = engine.mapSet === undefined ? undefined : sets[engine.mapSet]?.apply;
    if (!apply || !base) return [];
    return leavesOf(apply, []).flatMap((path) => changeOf(base.configuration, engine, path) ?? []);
  });
}

type Bound = Readonly<Record<string, unknown>>;

const isSection = (bound: unknown): bound is Bound =>
  typeof bound === 'object' && bound !== null && nodesOf(bound).length > 0;

/** The paths to every value under a bound section; a list counts as one value. */
function leavesOf(section: object, path: readonly string[]): string[][] {
  return Object.entries(section).flatMap(([key, bound]) =>
    isSection(bound) ? leavesOf(bound, [...path, key]) : [[...path, key]],
  );
}

function valueAt(configuration: EngineConfiguration, path: readonly string[]): Value | undefined {
  const [section, ...steps] = path as [keyof EngineConfiguration, ...string[]];
  const below = (at: unknown, key: string) => (isSection(at) ? at[key] : undefined);
  return steps.reduce<unknown>(below, configuration[section]) as Value | undefined;
}

function changeOf(
  base: EngineConfiguration,
  { mapSet, configuration }: Engine,
  path: readonly string[],
): MapSetChange | undefined {
  const before = valueAt(base, path);
  const after = valueAt(configuration, path);
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
    // Checks compare the values, and only who reads wants words.
    get text() {
      if (!changes) return `leaves ${name} as it is`;
      return before ? `changes ${name}: ${difference(before, after)}` : `adds ${name}: ${wordsOf(after)}`;
    },
  };
}

/** Values outlive an edit elsewhere, and a table is much to compare. */
const lastCompared = new WeakMap<Value, { readonly before: Value | undefined; readonly isSame: boolean }>();

function isSameAs(after: Value, before: Value | undefined): boolean {
  const last = lastCompared.get(after);
  if (last && last.before === before) return last.isSame;
  const isSame = sameValue(before, after);
  lastCompared.set(after, { before, isSame });
  return isSame;
}

/** What becomes of a value, in few words. */
function difference(before: Value, after: Value): string {
  if (before.type === 'table' && after.type === 'table')
    return tableDifference(before, after) ?? `another table, ${wordsOf(after)}`;
  return `${wordsOf(before)} → ${wordsOf(after)}`;
}

function wordsOf(value: Value): string {
  if (value.type === 'table') return `${value.rows.flat().length} cells`;
  if (value.node.type === 'scalar') return value.node.text;
  const { chunk, start, end } = value.node;
  return chunk.text.slice(start, end).split('\n', 1)[0]!;
}

/**
 * How many cells differ and by how much, where both tables have one unit and one meaning of their axes. A
 * table on other breakpoints is compared at its own.
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
    sameAxis(before.x, after.x) && sameAxis(before.y, after.y) ? '' : ', on other breakpoints';
  return `${moved.length} of ${after.cells.length} cells${spanOf(moved, after.unit)}${elsewhere}`;
}

/** `, −30…+12 kPa`: the least and the most of some differences of values in `unit`. */
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

/** Differences have no reference, and those of temperature are kelvins. */
function differenceUnit(unit: string): string {
  return splitUnit(unit)?.unit.dimension === 'temperature' ? 'K' : unit.replace(/ (abs|gauge)$/, '');
}

/** What a set makes of the engine, so that two sets can be told apart: its changes that are changes. */
export function effectOf(changes: readonly MapSetChange[], set: string): ReadonlyMap<string, Value> {
  return new Map(
    changes.filter((one) => one.set === set && one.changes).map(({ path, after }) => [path, after]),
  );
}

/** Whether two sets make the same engine. */
export function sameEffect(a: ReadonlyMap<string, Value>, b: ReadonlyMap<string, Value>): boolean {
  return a.size === b.size && [...a].every(([path, value]) => sameValue(value, b.get(path)));
}
