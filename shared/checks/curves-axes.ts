import type { Axis, TableValue } from '../configuration/values.ts';
import { counted } from '../counted.ts';
import type { Edit } from '../source/edit.ts';
import { type Node, sourceText } from '../source/tree.ts';
import { type Check, type Fix, type Found, fileCheck, type PlacedTable } from './check.ts';
import { checkEach } from './each.ts';
import { isFlat } from './form-types.ts';
import {
  areWrittenIn,
  axesOf,
  breakpointsNode,
  breakpointText,
  reorder,
  tableName,
  tablesOf,
} from './tables.ts';

const numbersOf = (axis: Axis): number[] => axis.nodes.map((node) => node.value as number);

const allNumbers = (axis: Axis): boolean => axis.nodes.every((node) => typeof node.value === 'number');

/** Whether every breakpoint has all its cells, so that a column or row can be moved with its values. */
function isRectangular({ x, y, rows, isMap }: TableValue): boolean {
  const height = isMap ? y?.nodes.length : 1;
  return x !== undefined && rows.length === height && rows.every((row) => row.length === x.nodes.length);
}

/** The breakpoints of an axis and the cells along it, as lists in the order of the breakpoints. */
function listsAlong(table: TableValue, name: 'x' | 'y', axis: Axis): readonly (readonly Node[])[] {
  if (name === 'x') return [axis.nodes, ...table.rows];
  return [axis.nodes, ...(table.x?.nodes ?? []).map((_, column) => table.rows.map((row) => row[column]!))];
}

function sortFix(table: TableValue, name: 'x' | 'y', axis: Axis): Fix[] {
  const lists = listsAlong(table, name, axis);
  if (!isRectangular(table) || !areWrittenIn(table, lists.flat())) return [];
  const numbers = numbersOf(axis);
  const order = numbers.map((_, i) => i).sort((a, b) => numbers[a]! - numbers[b]!);
  const sorted = order.map((i) => axis.nodes[i]!.text).join(', ');
  const title = `Sort the ${name === 'x' ? 'columns' : 'rows'} with their values: ${sorted}`;
  return [{ title, safety: 'choice', edits: lists.flatMap((list) => reorder(list, order)) }];
}

export const breakpointsNotRising: Check = fileCheck({
  id: 'breakpoints-not-rising',
  severity: 'error',
  title: 'Breakpoints not in rising order',
  page: {
    catches: 'An axis of a curve or map with a breakpoint lower than the one before it.',
    why: 'A controller searches an axis from its low end. If the breakpoints are out of order, it picks the wrong pair of cells, and the engine gets the value for another speed or load.',
    example: 'x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 3000, 2000] }',
    remedy:
      'Sort the columns or rows; the fix moves their values with them. If a breakpoint is mistyped (`400` for `4000`), correct it instead.',
    basis: 'The file format requires each breakpoint to be higher than the one before it.',
  },
  *find(subject) {
    yield* fallsOfEach(tablesOf(subject), undefined);
  },
});

const fallsOfEach = checkEach(function* ({ table, shape }: PlacedTable): Iterable<Found> {
  for (const { name, axis } of axesOf(table)) {
    const numbers = numbersOf(axis);
    const at = numbers.findIndex((number, i) => i > 0 && number < numbers[i - 1]!);
    if (at < 0 || !allNumbers(axis)) continue;
    const [here, before] = [breakpointText(axis, at), breakpointText(axis, at - 1)];
    yield {
      at: axis.nodes[at]!,
      message: `${tableName(table, shape)}: breakpoint ${here} follows ${before}, but breakpoints must rise.`,
      related: [{ at: axis.nodes[at - 1]!, message: 'The higher breakpoint before it.' }],
      fixes: sortFix(table, name, axis),
    };
  }
});

/** Removes a list item with the separator before it; null if anything but a plain separator precedes it. */
function removal(list: readonly Node[], index: number): Edit | null {
  const [before, node] = [list[index - 1], list[index]];
  if (!before || !node || before.chunk !== node.chunk || before.end > node.start) return null;
  const between = node.chunk.text.slice(before.end, node.start);
  // Anything else between the two, such as a comment, would be lost.
  if (!/^\s*,\s*$|^[ \t]*\r?\n[ ]*-[ ]+$/.test(between)) return null;
  return { span: { chunk: node.chunk, start: before.end, end: node.end }, text: '' };
}

/** The lists that lose an item when a breakpoint is removed; none if the table is not rectangular or is an alias. */
function listsToShorten(table: TableValue, name: 'x' | 'y', axis: Axis): readonly (readonly Node[])[] {
  const lists = name === 'x' ? [axis.nodes, ...table.rows] : [axis.nodes, table.rowNodes];
  return isRectangular(table) && areWrittenIn(table, lists.flat()) ? lists : [];
}

function removeFix(
  lists: readonly (readonly Node[])[],
  name: 'x' | 'y',
  axis: Axis,
  at: number,
  earlier: number,
): Fix[] {
  if (lists.length === 0) return [];
  const edits = lists.map((list) => removal(list, at)).filter((edit) => edit !== null);
  if (edits.length < lists.length) return [];
  const same = lists.slice(1).every((list) => sourceText(list[at]!) === sourceText(list[earlier]!));
  const what = `the second ${name === 'x' ? 'column' : 'row'} at ${breakpointText(axis, at)}`;
  const title = same ? `Remove ${what} (identical values)` : `Remove ${what}`;
  return [{ title, safety: same ? 'safe' : 'choice', edits }];
}

export const duplicateBreakpoint: Check = fileCheck({
  id: 'duplicate-breakpoint',
  severity: 'error',
  title: 'Duplicate breakpoint on axis',
  page: {
    catches: 'An axis of a curve or map with the same breakpoint twice.',
    why: 'With two columns at the same speed it is undefined which one the engine gets, and an interpolation between them divides by zero.',
    example: 'x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 3000, 3000, 5000] }',
    remedy: 'Remove one of the two with its values, or write the intended breakpoint.',
    basis: 'The file format requires each breakpoint to be higher than the one before it.',
  },
  *find(subject) {
    yield* duplicatesOfEach(tablesOf(subject), undefined);
  },
});

const duplicatesOfEach = checkEach(function* ({ table, shape }: PlacedTable): Iterable<Found> {
  for (const { name, axis } of axesOf(table)) {
    if (!allNumbers(axis)) continue;
    const firstAt = new Map<number, number>();
    let lists: readonly (readonly Node[])[] | undefined;
    for (const [at, node] of axis.nodes.entries()) {
      const number = node.value as number;
      const earlier = firstAt.get(number);
      if (earlier === undefined) {
        // `.nan` never equals another breakpoint.
        if (!Number.isNaN(number)) firstAt.set(number, at);
        continue;
      }
      lists ??= listsToShorten(table, name, axis);
      yield {
        at: node,
        message: `${tableName(table, shape)} has breakpoint ${breakpointText(axis, at)} twice.`,
        related: [{ at: axis.nodes[earlier]!, message: 'The first occurrence.' }],
        fixes: removeFix(lists, name, axis, at, earlier),
      };
    }
  }
});

export const tooFewBreakpoints: Check = fileCheck({
  id: 'too-few-breakpoints',
  severity: 'warning',
  title: 'Too few breakpoints on axis',
  page: {
    catches: 'An axis with a single breakpoint. It is an error if the axis has none.',
    why: 'With one breakpoint the table has the same value along the whole axis, so the quantity of the axis has no effect.',
    example: 'x: { quantity: battery_voltage, unit: V, breakpoints: [13.8] }',
    remedy: 'Write at least two breakpoints that span the range in which the engine runs.',
    basis:
      'In the file format a table interpolates linearly between breakpoints and holds its edge value outside them.',
  },
  *find(subject) {
    yield* shortAxesOfEach(tablesOf(subject), undefined);
  },
});

const shortAxesOfEach = checkEach(function* ({ table, shape }: PlacedTable): Iterable<Found> {
  for (const { name, axis } of axesOf(table)) {
    const count = axis.nodes.length;
    if (count > 1) continue;
    const effect =
      count === 0
        ? `has no breakpoints on axis \`${name}\`, so it has no value anywhere`
        : `has only one breakpoint on axis \`${name}\`, so it does not vary with \`${axis.quantity}\``;
    yield {
      at: breakpointsNode(axis),
      severity: count === 0 ? 'error' : 'warning',
      message: `${tableName(table, shape)} ${effect}.`,
    };
  }
});

export const rowLengthMismatch: Check = fileCheck({
  id: 'row-length-mismatch',
  severity: 'error',
  title: 'Wrong number of values in row',
  page: {
    catches: 'A row of values with more or fewer numbers than axis `x` has breakpoints.',
    why: 'It is undefined which column each number belongs to. The table cannot be used, and nothing derived from it can be checked.',
    example:
      'x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 3000, 5000] }\nvalues:\n  - [52, 58]',
    remedy: 'Add the missing value, or remove the surplus one.',
    basis: 'The file format requires one value per breakpoint of `x`.',
  },
  *find(subject) {
    yield* unfitRowsOfEach(tablesOf(subject), undefined);
  },
});

const unfitRowsOfEach = checkEach(function* ({ table, shape }: PlacedTable): Iterable<Found> {
  const columns = table.x?.nodes.length ?? 0;
  if (!table.x || columns === 0) return;
  for (const [row, node] of table.rowNodes.entries()) {
    const length = node.type === 'sequence' ? node.items.length : columns;
    if (length === columns) continue;
    const which =
      table.y && row < table.y.nodes.length ? `the row at ${breakpointText(table.y, row)}` : 'the row';
    yield {
      at: node,
      message: `${tableName(table, shape)}: ${which} has ${counted(length, 'value')}, but axis \`x\` has ${counted(columns, 'breakpoint')}.`,
      related: [{ at: breakpointsNode(table.x), message: 'The breakpoints of `x`.' }],
    };
  }
});

export const rowCountMismatch: Check = fileCheck({
  id: 'row-count-mismatch',
  severity: 'error',
  title: 'Wrong number of rows',
  page: {
    catches: 'A map with more or fewer rows than axis `y` has breakpoints.',
    why: 'It is undefined which load each row belongs to. The map cannot be used, and nothing derived from it can be checked.',
    example:
      'y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [40, 80, 120] }\nvalues:\n  - [52, 58]\n  - [66, 74]',
    remedy: 'Add the missing row or breakpoint, or remove the surplus one.',
    basis: 'The file format requires one row per breakpoint of `y`.',
  },
  *find(subject) {
    yield* unfitHeightsOfEach(tablesOf(subject), undefined);
  },
});

const unfitHeightsOfEach = checkEach(function* ({ table, shape }: PlacedTable): Iterable<Found> {
  const height = table.y?.nodes.length ?? 0;
  if (!table.y || height === 0 || table.valuesNode?.type !== 'sequence') return;
  // `wrong-type` reports values that are one flat list instead of rows.
  if (table.rowNodes.length === height || isFlat(table.valuesNode)) return;
  yield {
    at: table.valuesNode,
    message: `${tableName(table, shape)} has ${counted(table.rowNodes.length, 'row')}, but axis \`y\` has ${counted(height, 'breakpoint')}.`,
    related: [{ at: breakpointsNode(table.y), message: 'The breakpoints of `y`.' }],
  };
});
