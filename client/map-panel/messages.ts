import type { TableView } from '../../shared/tables/view.ts';

/** The path that means the committed version of the table. */
export const COMMITTED = '@committed';

/** The message from the extension to the panel. */
export interface Shown {
  /** All tables of the document, for selection. */
  readonly tables: readonly ListedTable[];
  /** Null while the table at the cursor is incomplete. */
  readonly table: TableView | null;
  readonly path: string | null;
  readonly cursor: CellPlace | null;
  /** What the table is compared with: the path of another table, or `COMMITTED`. */
  readonly against: string | null;
  /** Null if nothing is compared or the tables cannot be compared. */
  readonly difference: TableView | null;
  /** Why the committed version is not available. */
  readonly whyNot: string | undefined;
}

export interface ListedTable {
  readonly path: string;
  readonly label: string;
  readonly isComparable: boolean;
}

export interface CellPlace {
  readonly row: number;
  readonly column: number;
}

/** A message from the panel to the extension. */
export type FromPanel =
  /** The panel can draw. */
  | { readonly type: 'ready' }
  /** Move the cursor of the text; `open` also gives the text the focus. */
  | ({ readonly type: 'move' | 'open' } & CellPlace)
  /** A table was selected, or a table to compare with, or null for none. */
  | { readonly type: 'choose'; readonly path: string }
  | { readonly type: 'against'; readonly path: string | null };
