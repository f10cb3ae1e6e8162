import type { Position, Range } from 'vscode-languageserver/node';
import { type Analysis, analyse } from '../../shared/analysis.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { blockAt, type NamedTable, tableAround, tablesIn } from '../../shared/tables/block.ts';
import { areComparable, differenceView } from '../../shared/tables/difference.ts';
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
  /** What the table shall be compared with: another one of the document, or itself in an earlier text. */
  readonly against?: { readonly path: string } | { readonly text: string };
}

export interface TableViewAnswer {
  /** Every table of the document, for a choice. */
  readonly tables: readonly ListedTable[];
  /** Null where there is none, or where it is not whole just now; `path` tells which. */
  readonly table: TableView | null;
  readonly path: string | null;
  /** What it has more than the one that it is compared with; null where it is not, or cannot be. */
  readonly difference: TableView | null;
  /** Where each cell stands in the text. */
  readonly ranges: readonly (readonly Range[])[];
  readonly cursor: { readonly row: number; readonly column: number } | null;
}

export interface ListedTable {
  readonly path: string;
  readonly label: string;
  readonly range: Range;
  /** Whether the table shown can be compared with this one. */
  readonly isComparable: boolean;
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

export function tableViewAt(
  analysis: Analysis,
  { position, path, against }: TableViewParams,
): TableViewAnswer {
  const { file } = analysis;
  const tables = tablesIn(analysis);
  const offset = file.lines.offset(position);
  const block = blockAt(file, tables, [{ start: offset, end: offset }]);
  const shown: NamedTable | undefined = block ?? tableAround(file, tables, offset) ?? tableOf(tables, path);
  const view = shown && viewOf(analysis, shown);
  const shownPath = shown && pathOfTable(shown);
  const other =
    against &&
    ('path' in against ? tableOf(tables, against.path) : earlier(analysis, against.text, shownPath));
  return {
    tables: tables.map((one) => ({
      path: pathOfTable(one),
      label: one.label,
      range: rangeOf(file, one.table.rows[0]?.[0] ?? one.table.node),
      isComparable: shown !== undefined && one.table !== shown.table && areComparable(shown.table, one.table),
    })),
    table: view ?? null,
    path: shownPath ?? null,
    difference: (view && other && differenceView(view, shown.table, other.table)) ?? null,
    ranges: shown?.table.rows.map((row) => row.map((cell) => rangeOf(file, cell))) ?? [],
    cursor: block ? { row: block.area.top, column: block.area.left } : null,
  };
}

const tableOf = (tables: readonly NamedTable[], path: string | undefined): NamedTable | undefined =>
  tables.find((one) => pathOfTable(one) === path);

/** The table of a path as another text of the same file has it. */
function earlier({ file }: Analysis, text: string, path: string | undefined): NamedTable | undefined {
  const project = createProject((asked) => (asked === file.path ? text : undefined));
  const analysis = analyse(project, file.path);
  return analysis && tableOf(tablesIn(analysis), path);
}
