import type { Position, Range } from 'vscode-languageserver/node';
import type { Analysis } from '../../shared/analysis.ts';
import { blockAt, type NamedTable, tableAround, tablesIn } from '../../shared/tables/block.ts';
import { pathOfTable, type TableView, viewOf } from '../../shared/tables/view.ts';
import { rangeOf } from '../places.ts';
import type { Feature } from './feature.ts';

/**
 * Request: a place in a document, and the path of the table last shown. Answer: the table there, or else the one of that
 * path, as it stands now.
 */
export const TABLE_VIEW = 'enginewright/tableView';

export interface TableViewParams {
  readonly textDocument: { readonly uri: string };
  readonly position: Position;
  readonly path?: string;
}

export interface TableViewAnswer {
  /** Every table of the document, for a choice. */
  readonly tables: readonly { readonly path: string; readonly label: string; readonly range: Range }[];
  /** Null where there is none, or where it is not whole just now; `path` tells which. */
  readonly table: TableView | null;
  readonly path: string | null;
  /** Where each cell stands in the text. */
  readonly ranges: readonly (readonly Range[])[];
  readonly cursor: { readonly row: number; readonly column: number } | null;
}

export const tableViews: Feature = {
  capabilities: {},
  listen: (connection, { from }) => {
    connection.onRequest(
      TABLE_VIEW,
      from((analysis, params: TableViewParams) => tableViewAt(analysis, params)),
    );
  },
};

export function tableViewAt(analysis: Analysis, { position, path }: TableViewParams): TableViewAnswer {
  const { file, subject } = analysis;
  const tables = tablesIn(file, subject.readings);
  const offset = file.lines.offset(position);
  const block = blockAt(file, tables, [{ start: offset, end: offset }]);
  const shown: NamedTable | undefined =
    block ?? tableAround(file, tables, offset) ?? tables.find((one) => pathOfTable(one) === path);
  return {
    tables: tables.map((one) => ({
      path: pathOfTable(one),
      label: one.label,
      range: rangeOf(file, one.table.rows[0]?.[0] ?? one.table.node),
    })),
    table: (shown && viewOf(analysis, shown)) ?? null,
    path: shown ? pathOfTable(shown) : null,
    ranges: shown?.table.rows.map((row) => row.map((cell) => rangeOf(file, cell))) ?? [],
    cursor: block ? { row: block.area.top, column: block.area.left } : null,
  };
}
