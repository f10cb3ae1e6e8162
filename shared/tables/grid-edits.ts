import type { TableValue } from '../configuration/values.ts';
import { maximumOf } from '../extremes.ts';
import type { Edit } from '../source/edit.ts';
import { type Node, type ScalarNode, type SequenceNode, sourceText } from '../source/tree.ts';
import { type Item, listEdits } from './list-edits.ts';

/** The cells of a table as they shall be. Old rows and columns are named by their index, new ones by undefined. */
export interface NewGrid {
  readonly rows: readonly (number | undefined)[];
  readonly columns: readonly (number | undefined)[];
  /** What each cell is written as. */
  readonly texts: readonly (readonly string[])[];
}

/** Why the cells of a table can't be rewritten; undefined where they can. */
export function whyFixed(table: TableValue, reshapes: boolean): string | undefined {
  const { valuesNode, rowNodes, rows, cells } = table;
  if (!cells || valuesNode?.type !== 'sequence')
    return 'The table is not whole: its rows and breakpoints do not agree.';
  // An alias puts one node into several places; only one of them is its own.
  const standsHere = (node: Node, parent: Node, index: number) =>
    node.parent === parent && node.chunk === parent.chunk && node.step === index;
  const isShared =
    (table.isMap && rowNodes.some((row, r) => !standsHere(row, valuesNode, r))) ||
    rows.some((row, r) => row.some((cell, c) => !standsHere(cell, rowNodes[r]!, c)));
  if (isShared || isElsewhere(table))
    return 'The table is written by an alias: change it where its anchor stands.';
  if (reshapes && table.isMap && rowNodes.some((row) => row.type !== 'sequence' || !row.flow))
    return 'The rows of this map are lists of dashes: write each row in brackets first.';
  return undefined;
}

/** Whether the cells stand before their key, as only an alias makes it. */
function isElsewhere({ node, valuesNode }: TableValue): boolean {
  const entry = node.entry('values');
  return !entry || (valuesNode?.chunk === entry.key.chunk && valuesNode.start < entry.key.end);
}

/** Rewrites the cells of a table. Rows that stand in columns still do. */
export function gridEdits(table: TableValue, grid: NewGrid): Edit[] {
  const fields = fieldsOf(table);
  const gaps = fields && gapsOf(grid, fields);
  const items = grid.texts.map((texts, r) =>
    texts.map((text, c): Item => {
      const row = grid.rows[r];
      const column = grid.columns[c];
      const from = row === undefined || column === undefined ? undefined : table.rows[row]![column];
      return { from, text, gap: gaps?.[r]?.[c] };
    }),
  );
  if (!table.isMap) return listEdits(table.valuesNode as SequenceNode, items[0]!);
  const rows = grid.rows.map((row, r): Item => {
    if (row !== undefined) return { from: table.rowNodes[row], text: undefined };
    return { from: undefined, text: rowText(items[r]!) };
  });
  const isReshaped = grid.rows.length !== table.rows.length || grid.rows.some((row, r) => row !== r);
  return [
    ...(isReshaped ? listEdits(table.valuesNode as SequenceNode, rows) : []),
    ...grid.rows.flatMap((row, r) =>
      row === undefined ? [] : listEdits(table.rowNodes[row] as SequenceNode, items[r]!),
    ),
  ];
}

function rowText(items: readonly Item[]): string {
  return `[${items.map(({ text, gap }, i) => `${i > 0 ? ',' : ''}${gap ?? (i > 0 ? ' ' : '')}${text}`).join('')}]`;
}

/** The room of each column without the blank that parts it from the one before; undefined where rows stand ragged. */
function fieldsOf({ rows, rowNodes, isMap }: TableValue): number[] | undefined {
  if (!isMap || rows.length < 2) return undefined;
  const ends = rows.map((cells, r) => endsInRow(cells, rowNodes[r]!));
  const [first] = ends;
  const isAligned = first && ends.every((row) => row?.every((end, c) => end === first[c]));
  if (!isAligned) return undefined;
  return first.map((end, c) => (c === 0 ? end - 1 : end - first[c - 1]! - 2));
}

/** Where the cells of a row end, from its bracket on; undefined where it is not one line of numbers, commas and blanks. */
function endsInRow(cells: readonly ScalarNode[], row: Node): number[] | undefined {
  const text = sourceText(row);
  if (row.type !== 'sequence' || !row.flow || !/^\[[^\n#]*\]$/.test(text)) return undefined;
  return cells.map((cell) => cell.end - row.start);
}

/** The blanks before each cell, so that the columns are as wide as before, or as their longest number needs. */
function gapsOf(grid: NewGrid, fields: readonly number[]): string[][] {
  const widths = grid.columns.map((column, c) => {
    const longest = maximumOf(grid.texts.map((row) => row[c]!.length));
    return Math.max(longest, column === undefined ? 0 : fields[column]!);
  });
  return grid.texts.map((row) =>
    row.map((text, c) => ' '.repeat(widths[c]! - text.length + (c > 0 ? 1 : 0))),
  );
}
