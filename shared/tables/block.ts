import type { Analysis } from '../analysis.ts';
import type { Axis, TableValue } from '../configuration/values.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { offsetsOf, type SourceFile } from '../source/source-file.ts';
import type { Node, ScalarNode } from '../source/tree.ts';
import type { Rectangle } from './surface.ts';

/** A table of a file with what the schema calls it. */
export interface NamedTable {
  readonly table: TableValue;
  readonly label: string;
}

/** Some cells of a table: the rectangle that a selection spans. */
export interface Block extends NamedTable {
  readonly area: Rectangle;
}

/** A breakpoint of a table. */
export interface Breakpoint extends NamedTable {
  readonly axis: 'x' | 'y';
  readonly index: number;
}

/** A stretch of a file's text, in UTF-16 units from its start. */
export interface Stretch {
  readonly start: number;
  readonly end: number;
}

/** The tables written in this text, in its order, each once however many map sets read it. */
export function tablesIn({ file, subject }: Analysis): NamedTable[] {
  const tables = new Map<Node, NamedTable>();
  for (const { table, shape } of subject.tables) {
    if (!file.chunks.has(table.node.chunk)) continue;
    tables.set(table.node, { table, label: shape.label ?? String(table.node.step ?? 'Table') });
  }
  return [...tables.values()];
}

/** The smallest rectangle around all cells that the selections touch, in the first table that they touch. */
export function blockAt(
  file: SourceFile,
  tables: readonly NamedTable[],
  selections: readonly Stretch[],
): Block | undefined {
  for (const named of tables) {
    const touched = selections.flatMap((selection) => cornersOf(touchedCells(file, named.table, selection)));
    if (touched.length === 0) continue;
    const rows = touched.map(([row]) => row);
    const columns = touched.map(([, column]) => column);
    return {
      ...named,
      area: {
        top: minimumOf(rows),
        bottom: maximumOf(rows),
        left: minimumOf(columns),
        right: maximumOf(columns),
      },
    };
  }
  return undefined;
}

type CellPlace = readonly [row: number, column: number];

function touchedCells(file: SourceFile, table: TableValue, selection: Stretch): CellPlace[] {
  const { valuesNode } = table;
  if (!valuesNode || !table.rowNodes.some((row) => isTouched(file, row, selection))) return [];
  return table.rows.flatMap((cells, row) =>
    cells.flatMap((cell, column) => (isTouched(file, cell, selection) ? [[row, column] as const] : [])),
  );
}

/** The first and last cell of a selection are corners of the rectangle; the text between them runs over whole lines. */
function cornersOf(places: readonly CellPlace[]): CellPlace[] {
  return places.length > 0 ? [places[0]!, places.at(-1)!] : [];
}

function isTouched(file: SourceFile, node: Node, { start, end }: Stretch): boolean {
  if (!file.chunks.has(node.chunk)) return false;
  const at = offsetsOf(file, node);
  return start === end ? at.start <= start && start <= at.end : at.start < end && start < at.end;
}

/** The breakpoint at an offset. */
export function breakpointAt(
  file: SourceFile,
  tables: readonly NamedTable[],
  offset: number,
): Breakpoint | undefined {
  for (const named of tables) {
    for (const axis of ['x', 'y'] as const) {
      const nodes: readonly ScalarNode[] = named.table[axis]?.nodes ?? [];
      const index = nodes.findIndex((node) => isTouched(file, node, { start: offset, end: offset }));
      if (index >= 0) return { ...named, axis, index };
    }
  }
  return undefined;
}

/** The table whose text, from the key to the last cell, contains the offset. */
export function tableAround(
  file: SourceFile,
  tables: readonly NamedTable[],
  offset: number,
): NamedTable | undefined {
  return tables.find(({ table }) =>
    [table.node, table.x?.node, table.y?.node, table.unitNode, table.valuesNode].some(
      (node) => node && isTouched(file, node, { start: offset, end: offset }),
    ),
  );
}

/** Breakpoints as written, in the axis's own unit. */
export function writtenPoints(axis: Axis | undefined): number[] {
  return (axis?.nodes ?? []).map((node) => Number(node.value));
}
