import { inside, type Rectangle, rectangleOf } from '../../../shared/tables/surface.ts';
import type { TableView } from '../../../shared/tables/view.ts';
import type { CellPlace, CellSpan } from '../messages.ts';

/** The selected cells. */
export type Selection = CellSpan;

export const only = (to: CellPlace): Selection => ({ from: to, to });

export const areaOf = ({ from, to }: Selection): Rectangle => rectangleOf(from, to);

export const isOne = ({ from, to }: Selection): boolean => from.row === to.row && from.column === to.column;

/** The selection of which the text says the rectangle and the cell of the cursor. */
export function selectionOf(cursor: CellPlace, area: Rectangle | null): Selection {
  if (!area || !inside(area, cursor.row, cursor.column)) return only(cursor);
  const row = cursor.row === area.top ? area.bottom : area.top;
  const column = cursor.column === area.left ? area.right : area.left;
  return { from: { row, column }, to: cursor };
}

/** The selection inside of a table that may have become smaller. */
export function clamped({ texts }: TableView, { from, to }: Selection): Selection {
  const bottom = Math.max(0, texts.length - 1);
  const right = Math.max(0, (texts[0]?.length ?? 1) - 1);
  const within = ({ row, column }: CellPlace) => ({
    row: Math.max(0, Math.min(row, bottom)),
    column: Math.max(0, Math.min(column, right)),
  });
  return { from: within(from), to: within(to) };
}

/** A page of the grid, in rows. */
const PAGE = 8;

/** The part of a keyboard event that says which key it is. */
interface Key {
  readonly key: string;
  readonly ctrlKey: boolean;
  readonly metaKey: boolean;
  readonly shiftKey: boolean;
}

/**
 * The selection that a key leads to, as in a spreadsheet: arrows by one cell, Home and End along the row, page keys by eight
 * rows, with Control to the edge or corner, with Shift extending; Control+A selects all. Undefined for other keys.
 */
export function moved(view: TableView, { from, to }: Selection, key: Key): Selection | undefined {
  const bottom = view.texts.length - 1;
  const right = (view.texts[0]?.length ?? 1) - 1;
  const far = key.ctrlKey || key.metaKey;
  if (far && key.key.toLowerCase() === 'a')
    return { from: { row: 0, column: 0 }, to: { row: bottom, column: right } };
  const step = stepOf(key.key, far, { bottom, right }, to);
  if (!step) return undefined;
  const next = clamped(view, only(step)).to;
  return key.shiftKey ? { from, to: next } : only(next);
}

function stepOf(
  key: string,
  far: boolean,
  { bottom, right }: Pick<Rectangle, 'bottom' | 'right'>,
  { row, column }: CellPlace,
): CellPlace | undefined {
  switch (key) {
    case 'ArrowUp':
      return { row: far ? 0 : row - 1, column };
    case 'ArrowDown':
      return { row: far ? bottom : row + 1, column };
    case 'ArrowLeft':
      return { row, column: far ? 0 : column - 1 };
    case 'ArrowRight':
      return { row, column: far ? right : column + 1 };
    case 'PageUp':
      return { row: row - PAGE, column };
    case 'PageDown':
      return { row: row + PAGE, column };
    case 'Home':
      return { row: far ? 0 : row, column: 0 };
    case 'End':
      return { row: far ? bottom : row, column: right };
    default:
      return undefined;
  }
}

/** The selected cells as a spreadsheet takes them: separated by tabs, a row a line. */
export function copied({ texts }: TableView, selection: Selection): string {
  const { top, bottom, left, right } = areaOf(selection);
  return texts
    .slice(top, bottom + 1)
    .map((row) => row.slice(left, right + 1).join('\t'))
    .join('\n');
}
