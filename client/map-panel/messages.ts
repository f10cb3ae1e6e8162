import type { TableView } from '../../shared/tables/view.ts';

/** The path that stands for the table as it was last committed. */
export const COMMITTED = '@committed';

/** What the extension tells the panel. */
export interface Shown {
  /** Every table of the document, for a choice. */
  readonly tables: readonly ListedTable[];
  /** Null where the cursor's table is not whole just now. */
  readonly table: TableView | null;
  readonly path: string | null;
  readonly cursor: CellPlace | null;
  /** What the table is compared with: the path of another, or `COMMITTED`. */
  readonly against: string | null;
  /** Null where nothing is compared, or where it cannot be. */
  readonly difference: TableView | null;
  /** Why there is no committed version to compare with. */
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

/** What the panel tells the extension. */
export type FromPanel =
  /** It can draw now. */
  | { readonly type: 'ready' }
  /** The cursor is to follow, or to take the focus as well. */
  | ({ readonly type: 'move' | 'open' } & CellPlace)
  /** A table was chosen; or one to compare with, or none. */
  | { readonly type: 'choose'; readonly path: string }
  | { readonly type: 'against'; readonly path: string | null };
