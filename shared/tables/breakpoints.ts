import type { Axis, TableValue } from '../configuration/values.ts';
import { formatNumber } from '../quantity/index.ts';
import type { Edit } from '../source/edit.ts';
import type { SequenceNode } from '../source/tree.ts';
import { spell, spellingOf } from '../spelling.ts';
import { type NamedTable, writtenPoints } from './block.ts';
import { indices } from './cells.ts';
import {
  axisLabel,
  type Change,
  isRefusal,
  largestChange,
  largestWords,
  type Refusal,
  refuse,
} from './change.ts';
import { gridEdits, type NewGrid, whyFixed } from './grid-edits.ts';
import { listEdits } from './list-edits.ts';
import { PLAIN } from './paste.ts';
import { isShared } from './shared-text.ts';
import { type Cells, resampleColumns, transpose } from './surface.ts';

/** A change of an axis's breakpoints. `text` is what the user typed, in the unit of the axis. */
export type AxisOperation =
  | { readonly kind: 'resample' | 'insert'; readonly text: string }
  | { readonly kind: 'delete'; readonly index: number };

/**
 * Resamples a table to other breakpoints. A new column or row is interpolated in the old surface: linear between
 * breakpoints, constant outside. A breakpoint that stays keeps its cells and their spelling.
 */
export function changeBreakpoints(
  { table }: NamedTable,
  on: 'x' | 'y',
  operation: AxisOperation,
): Change | Refusal {
  const axis = table[on];
  const list = axis?.node.get('breakpoints');
  const fixed = whyFixed(table, true);
  if (fixed) return refuse(fixed);
  if (!axis || list?.type !== 'sequence') return refuse(`The table has no ${on} axis.`);
  if (isShared(table.node, on) || isShared(axis.node, 'breakpoints'))
    return refuse('Other tables share these breakpoints through a YAML anchor and would change too.');
  const wanted = wantedPoints(axis, operation);
  if (isRefusal(wanted)) return wanted;
  const { grid, after } = resampled(table, on, wanted);
  return {
    title: titleOf(table, on, operation),
    summary: largestWords(table, largestDeparture(table, on, wanted.map(Number), after)),
    edits: [...pointEdits(axis, list, wanted), ...gridEdits(table, grid)],
    cells: [],
  };
}

function titleOf(table: TableValue, on: 'x' | 'y', operation: AxisOperation): string {
  const { unit, nodes } = table[on]!;
  const label = axisLabel(table, on);
  const line = !table.isMap ? 'value' : on === 'x' ? 'column' : 'row';
  switch (operation.kind) {
    case 'insert':
      return `Insert ${label} ${operation.text.trim()} ${unit} with an interpolated ${line}`;
    case 'delete':
      return `Delete ${label} ${nodes[operation.index]?.text} ${unit} and its ${line}`;
    case 'resample':
      return `Resample to new ${label} breakpoints`;
  }
}

/** The new breakpoints as texts; those that stay keep their spelling. */
function wantedPoints(axis: Axis, operation: AxisOperation): string[] | Refusal {
  const old = axis.nodes.map(({ text }) => text);
  if (operation.kind === 'delete') {
    if (old.length <= 2) return refuse('An axis needs at least two breakpoints.');
    return old.filter((_, i) => i !== operation.index);
  }
  const typed = operation.text.split(/[\s,;]+/).filter(Boolean);
  const wrong = typed.find((text) => !PLAIN.test(text));
  const inUnit = axis.unit ? ` in ${axis.unit}` : '';
  if (wrong !== undefined)
    return refuse(`'${wrong}' is not a number. Enter breakpoints as numbers${inUnit}.`);
  const asWritten = (text: string) => old.find((one) => Number(one) === Number(text)) ?? text;
  if (operation.kind === 'insert') {
    const [point, ...more] = typed;
    if (point === undefined || more.length > 0) return refuse(`Enter one breakpoint${inUnit}.`);
    if (old.includes(asWritten(point)))
      return refuse(`A breakpoint at ${point}${axis.unit && ` ${axis.unit}`} already exists.`);
    return [...old, point].sort((a, b) => Number(a) - Number(b));
  }
  if (typed.length < 2) return refuse(`Enter at least two breakpoints${inUnit}.`);
  if (typed.some((point, i) => i > 0 && Number(point) <= Number(typed[i - 1])))
    return refuse('Each breakpoint must be larger than the one before it.');
  return typed.map(asWritten);
}

function resampled(
  table: TableValue,
  on: 'x' | 'y',
  wanted: readonly string[],
): { grid: NewGrid; after: Cells } {
  const points = writtenPoints(table[on]);
  const turn = (cells: Cells): Cells => (on === 'x' ? cells : transpose(cells));
  const cells = resampleColumns(turn(cellsOf(table)), points, wanted.map(Number));
  const kept = wanted.map((point) => {
    const index = points.indexOf(Number(point));
    return index < 0 ? undefined : index;
  });
  const spelling = spellingOf(table.rows.flat().map(({ text }) => text));
  const texts = turn(cells).map(() => [] as string[]);
  const read = turn(cells);
  const textAt = (row: number, column: number): string => {
    const old = kept[on === 'x' ? column : row];
    const node =
      old === undefined ? undefined : on === 'x' ? table.rows[row]![old] : table.rows[old]![column];
    return node?.text ?? spell(read[row]![column]!, spelling);
  };
  read.forEach((row, r) => {
    row.forEach((_, c) => {
      texts[r]!.push(textAt(r, c));
    });
  });
  const grid: NewGrid =
    on === 'x'
      ? { rows: indices(table.rows), columns: kept, texts }
      : { rows: kept, columns: indices(table.rows[0]!), texts };
  return { grid, after: texts.map((row) => row.map(Number)) };
}

/** The surfaces are linear between the breakpoints of both, so the largest difference is at one of these. */
function largestDeparture(table: TableValue, on: 'x' | 'y', wanted: readonly number[], after: Cells) {
  const points = writtenPoints(table[on]);
  const all = [...new Set([...points, ...wanted])].sort((a, b) => a - b);
  const read = (cells: Cells, at: readonly number[]): Cells =>
    on === 'x' ? resampleColumns(cells, at, all) : transpose(resampleColumns(transpose(cells), at, all));
  const x = on === 'x' ? all : writtenPoints(table.x);
  const y = on === 'y' ? all : table.y && writtenPoints(table.y);
  return largestChange(read(cellsOf(table), points), read(after, wanted), x, y);
}

function pointEdits(axis: Axis, list: SequenceNode, wanted: readonly string[]): Edit[] {
  return listEdits(
    list,
    wanted.map((text) => ({ from: axis.nodes.find((node) => node.text === text), text })),
  );
}

const cellsOf = (table: TableValue): number[][] =>
  table.rows.map((row) => row.map((cell) => cell.value as number));

/** The midpoint between a breakpoint and the next one (or, for the last, the one before), in as few digits as possible. */
export function middleBehind(axis: Axis, index: number): string | undefined {
  const points = writtenPoints(axis);
  const from = Math.min(index, points.length - 2);
  const [low, high] = [points[from], points[from + 1]];
  if (low === undefined || high === undefined) return undefined;
  const text = formatNumber((low + high) / 2, 6);
  return Number(text) > low && Number(text) < high ? text : undefined;
}
