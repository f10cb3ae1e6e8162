import type { WorkAsked } from '../../server/protocol.ts';
import type { TableView } from '../../shared/tables/view.ts';
import type { Work } from '../../shared/tables/work.ts';

/** The path that means the committed version of the table. */
export const COMMITTED = '@committed';

/** A message from the extension to the panel. */
export type ToPanel = Shown | Previewed;

export interface Shown {
  readonly type: 'shown';
  /** All tables of the document, for selection. */
  readonly tables: readonly ListedTable[];
  /** Null while the table at the cursor is incomplete. */
  readonly table: TableView | null;
  readonly path: string | null;
  /** The selected cells; null if the cursor is on no cell of the table. */
  readonly cells: CellSpan | null;
  /** How often the panel had selected cells then; a later selection is not overwritten. */
  readonly turn: number;
  /** What the table is compared with: the path of another table, or `COMMITTED`. */
  readonly against: string | null;
  /** What the committed version is of: a branch, tag or commit; null for the last commit. */
  readonly revision: string | null;
  /** Null if nothing is compared or the tables cannot be compared. */
  readonly difference: TableView | null;
  /** Why the committed version is not available. */
  readonly whyNot: string | undefined;
}

/** A change that is not yet written. */
export interface Previewed {
  readonly type: 'previewed';
  /** What the change does, or why it cannot be done; null if no change is previewed any more. */
  readonly words: string | null;
  readonly isRefused: boolean;
  readonly cells: readonly (CellPlace & { readonly text: string })[];
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

/** Cells from a corner that stays to the cell of the cursor. */
export interface CellSpan {
  readonly from: CellPlace;
  readonly to: CellPlace;
}

/** A message from the panel to the extension. */
export type FromPanel =
  /** The panel can draw. */
  | { readonly type: 'ready' }
  /** Put the cursor of the text on a cell and give it the focus, or select cells in it for the `turn`th time. */
  | { readonly type: 'open'; readonly to: CellPlace }
  | { readonly type: 'select'; readonly from: CellPlace; readonly to: CellPlace; readonly turn: number }
  /** Show what a change of the selected cells would do, or no change any more. */
  | { readonly type: 'preview'; readonly work: Work | null }
  /** Change the selected cells; the text may lose the selection by it, so these are selected afterwards. */
  | { readonly type: 'change'; readonly work: Work; readonly next: CellSpan }
  | { readonly type: 'undo' | 'redo' }
  /** Ask about a change of the selected cells, or of the breakpoint of the cursor's column (x) or row (y). */
  | { readonly type: 'ask'; readonly work: Work | WorkAsked; readonly axis?: 'x' | 'y' }
  /** A table was selected, or a table to compare with, or null for none. */
  | { readonly type: 'choose'; readonly path: string }
  | { readonly type: 'against'; readonly path: string | null };
