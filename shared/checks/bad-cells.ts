import type { TableValue } from '../configuration/values.ts';
import type { ScalarNode } from '../source/tree.ts';

/** A cell of a complete table. */
export interface Cell {
  readonly row: number;
  readonly column: number;
  readonly canonical: number;
  readonly node: ScalarNode;
}

/** The bad cells of a complete table, row by row; rows without bad cells are left out. */
export function badRows(
  table: TableValue | undefined,
  isBad: (canonical: number, row: number) => boolean,
): Cell[][] {
  const { cells } = table ?? {};
  if (!table || !cells) return [];
  const width = table.x?.breakpoints.length ?? 0;
  const rows: Cell[][] = [];
  // Most maps have no bad cell, so objects are made for bad cells only.
  for (let row = 0; row < table.rows.length; row++) {
    const bad: Cell[] = [];
    for (let column = 0; column < width; column++) {
      const canonical = cells[row * width + column]!;
      if (isBad(canonical, row)) bad.push({ row, column, canonical, node: table.rows[row]![column]! });
    }
    if (bad.length > 0) rows.push(bad);
  }
  return rows;
}

/** The cell of a row with the largest excess. */
export function worstOf(bad: readonly Cell[], excess: (canonical: number) => number): Cell {
  return bad.reduce((worst, cell) => (excess(cell.canonical) > excess(worst.canonical) ? cell : worst));
}

/** ` 2 more cells in this row are affected.` */
export function alsoInRow(bad: readonly Cell[]): string {
  if (bad.length === 1) return '';
  return bad.length === 2
    ? ' One more cell in this row is affected.'
    : ` ${bad.length - 1} more cells in this row are affected.`;
}
