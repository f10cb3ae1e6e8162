import type { TableValue } from '../configuration/values.ts';
import { maximumOf } from '../extremes.ts';
import type { Edit } from '../source/edit.ts';
import { type Node, type ScalarNode, type SequenceNode, sourceText } from '../source/tree.ts';
import { type Item, listEdits } from './list-edits.ts';

/** The new cells of a table. Rows and columns that stay are given by their old index, new ones by undefined. */
export interface NewGrid {
  readonly rows: readonly (number | undefined)[];
  readonly columns: readonly (number | undefined)[];
  /** The text of each cell. */
  readonly texts: readonly (readonly string[])[];
}

/** Why the cells of a table cannot be rewritten; undefined if they can. */
export function whyFixed(table: TableValue, reshapes: boolean): string | undefined {
  const { valuesNode, rowNodes, rows, cells } = table;
  if (!cells || valuesNode?.type !== 'sequence')
    return 'The table is incomplete: its rows do not match its breakpoints.';
  // An alias makes one node the child of several parents; only one of them is its own.
  const standsHere = (node: Node, parent: Node, index: number) =>
    node.parent === parent && node.chunk === parent.chunk && node.step === index;
  const isShared =
    (table.isMap && rowNodes.some((row, r) => !standsHere(row, valuesNode, r))) ||
    rows.some((row, r) => row.some((cell, c) => !standsHere(cell, rowNodes[r]!, c)));
  if (isShared || isElsewhere(table)) return 'The table is a YAML alias. Edit it at its anchor.';
  if (reshapes && table.isMap && rowNodes.some((row) => row.type !== 'sequence' || !row.flow))
    return 'The rows of this map are written with dashes. Write each row in brackets first.';
  return undefined;
}

/** Whether the cells are written before their key, which only an alias can do. */
function isElsewhere({ node, valuesNode }: TableValue): boolean {
  const entry = node.entry('values');
  return !entry || (valuesNode?.chunk === entry.key.chunk && valuesNode.start < entry.key.end);
}

/** Rewrites the cells of a table. Aligned columns stay aligned. */
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

/** The width of each column without the separating blank; undefined if the columns are not aligned. */
function fieldsOf({ rows, rowNodes, isMap }: TableValue): number[] | undefined {
  if (!isMap || rows.length < 2) return undefined;
  const ends = rows.map((cells, r) => endsInRow(cells, rowNodes[r]!));
  const [first] = ends;
  const isAligned = first && ends.every((row) => row?.every((end, c) => end === first[c]));
  if (!isAligned) return undefined;
  return first.map((end, c) => (c === 0 ? end - 1 : end - first[c - 1]! - 2));
}

/** Where the cells of a row end, from its bracket; undefined unless the row is one line of numbers, commas and blanks. */
function endsInRow(cells: readonly ScalarNode[], row: Node): number[] | undefined {
  const text = sourceText(row);
  if (row.type !== 'sequence' || !row.flow || !/^\[[^\n#]*\]$/.test(text)) return undefined;
  return cells.map((cell) => cell.end - row.start);
}

/** The blanks before each cell that keep the columns as wide as before, or as wide as their longest number. */
function gapsOf(grid: NewGrid, fields: readonly number[]): string[][] {
  const widths = grid.columns.map((column, c) => {
    const longest = maximumOf(grid.texts.map((row) => row[c]!.length));
    return Math.max(longest, column === undefined ? 0 : fields[column]!);
  });
  return grid.texts.map((row) =>
    row.map((text, c) => ' '.repeat(widths[c]! - text.length + (c > 0 ? 1 : 0))),
  );
}
