import type { TableView } from '../../shared/tables/view.ts';

/** What the extension tells the panel. */
export interface Shown {
  /** Every table of the document, for a choice. */
  readonly tables: readonly { readonly path: string; readonly label: string }[];
  /** Null where the cursor's table is not whole just now. */
  readonly table: TableView | null;
  readonly path: string | null;
  readonly cursor: CellPlace | null;
}

export interface CellPlace {
  readonly row: number;
  readonly column: number;
}

/** What the panel tells the extension: it can draw now, the cell was moved to, a table was chosen, go to the text. */
export type FromPanel =
  | { readonly type: 'ready' }
  | ({ readonly type: 'move' } & CellPlace)
  | ({ readonly type: 'open' } & CellPlace)
  | { readonly type: 'choose'; readonly path: string };
