import type { TableValue } from '../configuration/values.ts';
import { hasRatios, type LineFault, type TableLines } from '../derived/table-lines.ts';
import { differenceUnit } from '../quantity/index.ts';
import type { Fix } from './check.ts';
import { areWrittenIn, breakpointText, RowSpellings, reorder } from './tables.ts';
import { formatNumber, percent } from './words.ts';

export const wordOf = ({ axis }: TableLines): 'row' | 'column' => (axis === 'y' ? 'row' : 'column');

/** `the row at 100 kPa abs` */
export const lineText = (table: TableValue, lines: TableLines, line: number): string =>
  `the ${wordOf(lines)} at ${breakpointText(table[lines.axis]!, line)}`;

/** The middle cell of a line. */
export function middleOf({ cells }: TableLines, line: number): number {
  const sorted = [...cells[line]!].sort((a, b) => a - b);
  return (sorted[(sorted.length - 1) >> 1]! + sorted[sorted.length >> 1]!) / 2;
}

/** `15 % above`, or `8.0 deg below` where zero is arbitrary. */
export function departureText(table: TableValue, lines: TableLines, line: number, by: number): string {
  const side = by > 0 ? 'above' : 'below';
  const expected = middleOf(lines, line) - by;
  if (hasRatios(table) && expected !== 0) return `${percent(Math.abs(by / expected), 2)} ${side}`;
  return [formatNumber(Math.abs(by), 2), differenceUnit(table.unit), side].filter(Boolean).join(' ');
}

/** Every reading of the fault that an edit can follow. */
export function lineFixes(table: TableValue, fault: LineFault): Fix[] {
  const { lines, first, last } = fault;
  if (!areWrittenIn(table, [...lines.nodes[first]!, ...lines.nodes[last]!])) return [];
  switch (fault.kind) {
    case 'exchanged':
      return [exchanged(table, lines, first)];
    case 'repeated':
      return [last, first].flatMap((line) => interpolated(table, lines, line));
    case 'shifted':
      return movedBack(table, lines, first, fault.by);
    case 'departed':
      return [moved(table, lines, first, fault.by), ...interpolated(table, lines, first)];
  }
}

function exchanged(table: TableValue, lines: TableLines, first: number): Fix {
  const [one, two] = [lines.nodes[first]!, lines.nodes[first + 1]!];
  const axis = table[lines.axis]!;
  return {
    title: `Swap the ${wordOf(lines)}s at ${breakpointText(axis, first)} and ${breakpointText(axis, first + 1)}`,
    safety: 'choice',
    edits: one.flatMap((node, c) => reorder([node, two[c]!], [1, 0])),
  };
}

/** Scales the line, or adds to it where zero is arbitrary: its own shape stays. */
function moved(table: TableValue, lines: TableLines, line: number, by: number): Fix {
  const expected = middleOf(lines, line) - by;
  const factor = expected / (expected + by);
  const isScaled = hasRatios(table) && factor > 0 && Number.isFinite(factor);
  const what = isScaled
    ? `Multiply ${lineText(table, lines, line)} by ${formatNumber(factor, 3)}`
    : `${by > 0 ? 'Subtract' : 'Add'} ${formatNumber(Math.abs(by), 3)} ${differenceUnit(table.unit)} ${by > 0 ? 'from' : 'to'} ${lineText(table, lines, line)}`;
  return written(table, lines, line, what, (cell) => (isScaled ? cell * factor : cell - by));
}

function interpolated(table: TableValue, lines: TableLines, line: number): Fix[] {
  if (line === 0 || line === lines.at.length - 1) return [];
  const what = table.isMap
    ? lineText(table, lines, line)
    : `the value at ${breakpointText(table[lines.axis]!, line)}`;
  const title = `Interpolate ${what} between its neighbours`;
  return [written(table, lines, line, title, (_, c) => betweenNeighbours(lines, line, c))];
}

function betweenNeighbours({ cells, at }: TableLines, line: number, c: number): number {
  const [low, high] = [cells[line - 1]![c]!, cells[line + 1]![c]!];
  return low + ((high - low) * (at[line]! - at[line - 1]!)) / (at[line + 1]! - at[line - 1]!);
}

/** Moves the cells of a line back by one; the one that becomes free is interpolated between the neighbours. */
function movedBack(table: TableValue, lines: TableLines, line: number, by: -1 | 1): Fix[] {
  const direction = lines.axis === 'y' ? (by > 0 ? 'left' : 'right') : by > 0 ? 'up' : 'down';
  const title = `Move the cells of ${lineText(table, lines, line)} one place ${direction}`;
  const valueAt = (_: number, c: number) => lines.cells[line]![c + by] ?? betweenNeighbours(lines, line, c);
  return [written(table, lines, line, title, valueAt)];
}

function written(
  table: TableValue,
  { axis, nodes, cells }: TableLines,
  line: number,
  title: string,
  newValue: (cell: number, c: number) => number,
): Fix {
  const spellings = new RowSpellings(table);
  const rowOf = (c: number): number => (axis === 'y' ? line : table.isMap ? c : 0);
  const edits = nodes[line]!.flatMap((node, c) => {
    const text = spellings.like(rowOf(c), newValue(cells[line]![c]!, c));
    return Number(text) === cells[line]![c] ? [] : [{ span: node, text }];
  });
  return { title, safety: 'choice', edits };
}
