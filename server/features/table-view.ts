import type { Range } from 'vscode-languageserver';
import { type Analysis, analyseBriefly } from '../../shared/analysis.ts';
import { createProject } from '../../shared/configuration/project.ts';
import type { Axis } from '../../shared/configuration/values.ts';
import type { SourceFile } from '../../shared/source/source-file.ts';
import { blockAt, type NamedTable, tableAround, tablesIn } from '../../shared/tables/block.ts';
import { areComparable, differenceView } from '../../shared/tables/difference.ts';
import { pathOfTable, viewOf } from '../../shared/tables/view.ts';
import { rangeOf } from '../places.ts';
import type { TableViewAnswer, TableViewParams } from '../protocol.ts';
import { stretchesIn } from './cell-change.ts';
import { answerCustom, type Feature } from './feature.ts';

export const tableViews: Feature = {
  capabilities: {},
  listen: (connection, { from }) => {
    answerCustom(connection, 'enginewright/tableView', from(tableViewAt));
  },
};

export function tableViewAt(
  analysis: Analysis,
  { position, selections, path, against }: TableViewParams,
): TableViewAnswer {
  const { file } = analysis;
  const tables = tablesIn(analysis);
  const offset = file.lines.offset(position);
  const block = blockAt(file, tables, [{ start: offset, end: offset }]);
  const shown: NamedTable | undefined = block ?? tableAround(file, tables, offset) ?? tableOf(tables, path);
  const view = shown && viewOf(analysis, shown);
  const shownPath = shown && pathOfTable(shown);
  const selected = block && blockAt(file, [block], stretchesIn(file, selections ?? []));
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
    breakpoints: { x: rangesOf(file, shown?.table.x), y: rangesOf(file, shown?.table.y) },
    cursor: block ? { row: block.area.top, column: block.area.left } : null,
    selected: selected?.area ?? block?.area ?? null,
  };
}

/** The ranges of an axis that is written in this file. */
function rangesOf(file: SourceFile, axis: Axis | undefined): Range[] {
  const nodes = axis?.nodes ?? [];
  return nodes.every(({ chunk }) => file.chunks.has(chunk)) ? nodes.map((node) => rangeOf(file, node)) : [];
}

const tableOf = (tables: readonly NamedTable[], path: string | undefined): NamedTable | undefined =>
  tables.find((one) => pathOfTable(one) === path);

/** The table at a path in another text of the same file. */
function earlier({ file }: Analysis, text: string, path: string | undefined): NamedTable | undefined {
  const project = createProject((asked) => (asked === file.path ? text : undefined));
  const analysis = analyseBriefly(project, file.path);
  return analysis && tableOf(tablesIn(analysis), path);
}
