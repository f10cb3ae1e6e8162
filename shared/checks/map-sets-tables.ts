import type { Engine } from '../configuration/installation.ts';
import { lookUp } from '../configuration/lookup.ts';
import { sameValue } from '../configuration/same-value.ts';
import { type TableValue, valueAtPath } from '../configuration/values.ts';
import { type MapSetChange, mapSetChanges } from '../derived/map-sets.ts';
import { groupedBy } from '../grouped-by.ts';
import { keyOf } from '../source/source-file.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { quote } from './form-words.ts';
import { breakpointText } from './tables.ts';

export const mapSetRepeatsTable: Check = engineCheck({
  id: 'map-set-repeats-table',
  severity: 'warning',
  title: 'Table equal in all map sets',
  page: {
    catches:
      'A curve or map that a map set writes although it is the same in every switch position, while the set changes other values. Also a row of a map that equals the one in another position while the rows around it differ.',
    why: 'A map set writes a table in order to change it. The same table or row was usually pasted from another map set and never edited, so the pilot gets the boost or the mixture of the other position.',
    example:
      'boost: { target: { ... } }   # up to 147 kPa abs\nmap_sets:\n  sets:\n    full: { when: open }\n    saving: { when: closed, apply: { boost: { target: { ... } }, fuel: { target_lambda: { ... } } } }   # the same target',
    remedy: 'Write the table that was meant, or remove it from the map set.',
    basis: 'The meaning of the keys. Map sets are merged key by key, so an equal table need not be repeated.',
  },
  *find({ installation }): Generator<Found> {
    const { selectable } = installation;
    if (selectable.length < 2) return;
    for (const own of groupedBy(mapSetChanges(installation), ({ set }) => set).values()) {
      const repeated = own.filter((change) => repeats(change, selectable));
      // A map set without any effect has a finding of its own.
      if (repeated.length < own.length) yield* repeated.map(repetition);
      for (const change of own) if (!repeated.includes(change)) yield* pastedRows(change, selectable);
    }
  },
});

/** The same table in the other switch positions. */
const othersOf = ({ set, path }: MapSetChange, selectable: readonly Engine[]) =>
  selectable
    .filter(({ mapSet }) => mapSet !== set)
    .map(({ mapSet, configuration }) => ({ mapSet, value: valueAtPath(configuration, path.split('.')) }));

/** Fewer equal values may be a coincidence. */
const LEAST_CELLS = 4;

function repeats(change: MapSetChange, selectable: readonly Engine[]): boolean {
  const { after } = change;
  if (after.type !== 'table' || (after.cells?.length ?? 0) < LEAST_CELLS) return false;
  return othersOf(change, selectable).every(({ value }) => value && sameValue(value, after));
}

const repetition = ({ set, path, node }: MapSetChange): Found => ({
  at: keyOf(node) ?? node,
  message: `Map set ${quote(set)} writes ${quote(path)}, but the table is the same in every switch position.`,
});

/** Relative difference below which two cells are equal for this purpose. */
const EQUAL = 1e-6;
/** Relative difference from which two rows differ. */
const DIFFERENT = 0.02;

/** Rows between two that differ from those in another position, and which are equal to them. */
function* pastedRows(change: MapSetChange, selectable: readonly Engine[]): Generator<Found> {
  const { after, set } = change;
  if (after.type !== 'table' || !after.isMap || !after.cells || !after.y) return;
  for (const { mapSet, value } of othersOf(change, selectable)) {
    if (value?.type !== 'table' || value.reference !== after.reference) continue;
    const by = differencesOf(after, value);
    for (const [row, difference] of by.entries()) {
      const around = [by[row - 1], by[row + 1]];
      if (difference > EQUAL || !around.every((one) => one !== undefined && one > DIFFERENT)) continue;
      const place = breakpointText(after.y, row);
      yield {
        at: after.rowNodes[row]!,
        message: `Map set ${quote(set)} has the row at ${place} of ${mapSet === undefined ? 'the file' : `map set ${quote(mapSet)}`}, but the rows around it differ.`,
      };
    }
  }
}

/** The mean relative difference of each row from the other table at the same place; zero for equal rows. */
function differencesOf({ x, y, cells }: TableValue, other: TableValue): number[] {
  const width = x!.breakpoints.length;
  return y!.breakpoints.map((load, row) => {
    const own = cells!.subarray(row * width, (row + 1) * width);
    const differences = Array.from(own, (cell, i) => {
      const there = lookUp(other, x!.breakpoints[i]!, load) ?? Number.NaN;
      return Math.abs(cell - there) / Math.max(Math.abs(cell), Math.abs(there), Number.MIN_VALUE);
    });
    return differences.reduce((sum, one) => sum + one, 0) / width;
  });
}
