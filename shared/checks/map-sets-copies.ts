import { sameValue } from '../configuration/same-value.ts';
import type { TableValue } from '../configuration/values.ts';
import { type MapSetChange, mapSetChanges } from '../derived/map-sets.ts';
import { memo } from '../memo.ts';
import { pathOf, pathText } from '../source/tree.ts';
import { type Check, type EngineSubject, engineCheck, type Found } from './check.ts';
import { nameOf, quote } from './form-words.ts';
import { tablesOf } from './tables.ts';

export const tablePasted: Check = engineCheck({
  id: 'table-pasted',
  severity: 'warning',
  title: 'Table repeats another one',
  page: {
    catches:
      'A map in a map set that is identical to the same map outside the sets or in another set, although the set changes other values. Also a map with the same cells as a map under another key. Maps whose cells are all equal, and maps that share their cells through an alias, are not reported.',
    why: 'A set holds only what it changes, so a map that changes nothing was probably pasted as a start and never edited. The switch then selects the new boost with the old mixture.',
    example:
      'map_sets:\n  sets:\n    ferry:\n      when: closed\n      apply:\n        boost: { target: ... }   # new\n        fuel: { target_lambda: ... }   # the same as outside the sets',
    remedy:
      'Write the map that was meant. If the maps are meant to be the same, remove the copy, or share it with an alias.',
    basis: 'Common practice, no source.',
  },
  *find(subject) {
    yield* copiesInSets(subject);
    yield* copiesOfOtherKeys(subject);
  },
});

function* copiesInSets({ installation }: EngineSubject): Iterable<Found> {
  const changes = mapSetChanges(installation);
  for (const change of changes) {
    const { set, path, after, before } = change;
    if (!isVariedMap(after)) continue;
    if (!change.changes) {
      // Sets that change nothing at all are a finding of their own.
      if (before?.node === after.node || !changes.some((one) => one.set === set && one.changes)) continue;
      yield {
        at: after.node,
        message: `Map set ${quote(set)} repeats ${quote(path)} unchanged, although it changes other values.`,
        related: [{ at: before!.node as TableValue['node'], message: 'The same map outside the sets.' }],
      };
      continue;
    }
    const twin = changes.slice(0, changes.indexOf(change)).find((one) => isCopy(one, change, changes));
    if (!twin) continue;
    yield {
      at: after.node,
      message: `Map set ${quote(set)} has the same ${quote(path)} as ${quote(twin.set)}, although the two differ in other values.`,
      related: [{ at: twin.node, message: `The same map in ${quote(twin.set)}.` }],
    };
  }
}

/** Whether two sets write the same map twice, and differ in something else. */
function isCopy(twin: MapSetChange, change: MapSetChange, all: readonly MapSetChange[]): boolean {
  if (twin.set === change.set || twin.path !== change.path || twin.node === change.node) return false;
  if (!isSame(twin.after as TableValue, change.after as TableValue)) return false;
  const of = (set: string) => all.filter((one) => one.set === set && one.changes);
  const [own, others] = [of(change.set), of(twin.set)];
  return own.some((one) => {
    const other = others.find(({ path }) => path === one.path);
    return !other || !sameValue(other.after, one.after);
  });
}

const isSame = memo((a: TableValue, b: TableValue): boolean => sameValue(a, b));

function* copiesOfOtherKeys(subject: EngineSubject): Iterable<Found> {
  const seen = new Map<string, TableValue>();
  for (const { table } of tablesOf(subject)) {
    if (!isVariedMap(table)) continue;
    const cells = cellsText(table);
    const twin = seen.get(cells);
    if (!twin) seen.set(cells, table);
    else if (twin.valuesNode !== table.valuesNode && keyInSet(twin) !== keyInSet(table)) {
      yield {
        at: table.node,
        message: `${nameOf(table.node)} has the same cells as ${nameOf(twin.node)}.`,
        related: [{ at: twin.node, message: 'The same cells.' }],
      };
    }
  }
}

/** The key path of a table; for one that a map set applies, the path that it replaces. */
const keyInSet = ({ node }: TableValue): string => {
  const path = pathOf(node);
  return pathText(path[0] === 'map_sets' ? path.slice(path.indexOf('apply') + 1) : path);
};

/** Long enough that two maps do not agree by chance. */
const LEAST_CELLS = 6;

function isVariedMap(value: MapSetChange['after']): value is TableValue {
  if (value.type !== 'table' || !value.isMap || !value.cells || value.cells.length < LEAST_CELLS)
    return false;
  return value.cells.some((cell) => cell !== value.cells![0]);
}

/** The cells of a table as one text, cached because most tables stay the same. */
const cellsText = memo((table: TableValue): string =>
  table.rows.map((row) => row.map(({ value }) => value)).join(';'),
);
