import { tableName } from '../../../shared/checks/tables.ts';
import type { Engine, Installation } from '../../../shared/configuration/installation.ts';
import { engineShape } from '../../../shared/configuration/schemas.ts';
import { type Shape, shapeAt } from '../../../shared/configuration/shape.ts';
import { nodesOf, type TableValue } from '../../../shared/configuration/values.ts';
import { type Content, type Html, html, prose } from '../../html.ts';
import { chart, curveTable } from './chart.ts';
import type { ChapterMaker } from './dossier.ts';
import { mapGrid } from './grid.ts';

/** A curve or map with its place, and the map set that brings it where it is not the engine's own. */
interface PlacedTable {
  readonly table: TableValue;
  readonly path: readonly string[];
  readonly mapSet: string | undefined;
}

/** Limits are drawn in their own chapter; what a map set applies is drawn where the set's engine has it. */
const ELSEWHERE: readonly (string | undefined)[] = ['protection', 'map_sets'];

/** Every curve and map of the installation: those of the file, then what each map set puts in their place. */
export function placedTables({ engines }: Installation): PlacedTable[] {
  // The engine of a map set shares with the file's own what the set does not change.
  const met = new Set<object>();
  return engines.flatMap((engine) => tablesIn(engine, met));
}

/** The tables of an engine in whatever was not met before. */
function tablesIn({ configuration, mapSet }: Engine, met: Set<object>): PlacedTable[] {
  const visit = (bound: unknown, path: readonly string[]): PlacedTable[] => {
    if (typeof bound !== 'object' || bound === null || ELSEWHERE.includes(path[0])) return [];
    const isTable = (bound as { type?: unknown }).type === 'table';
    const one = isTable ? (bound as TableValue).node : bound;
    if (met.has(one)) return [];
    met.add(one);
    if (isTable) return [{ table: bound as TableValue, path, mapSet }];
    if (nodesOf(bound).length === 0) return [];
    return Object.entries(bound).flatMap(([key, below]) => visit(below, [...path, key]));
  };
  return visit(configuration, []);
}

/** A link to where a table is drawn; where it is drawn beside, its size. */
export function tableLinks(installation: Installation): (table: TableValue) => Content {
  const places = new Map(placedTables(installation).map(({ table }, i) => [table.node, anchorOf(i)]));
  return (table) => {
    const size = sizeText(table);
    const anchor = places.get(table.node);
    return anchor ? html`<a href="#${anchor}">${size}</a>` : size;
  };
}

const anchorOf = (index: number): string => `table-${index + 1}`;

function sizeText({ isMap, rows }: TableValue): string {
  const columns = rows[0]?.length ?? 0;
  return isMap ? `map of ${rows.length} × ${columns}` : `curve of ${columns} points`;
}

export const tablesChapter: ChapterMaker = ({ analysis: { installation } }) => {
  const tables = placedTables(installation);
  if (tables.length === 0) return undefined;
  return {
    id: 'tables',
    title: 'Maps and curves',
    body: html`<p class="legend">The deeper the colour of a cell, the higher its value (on a dark screen the
lighter). Between breakpoints the controller reads along straight lines, outside them it holds the edge.</p>
${tables.map((placed, i) => drawn(placed, anchorOf(i)))}`,
  };
};

function drawn({ table, path, mapSet }: PlacedTable, anchor: string): Html {
  const shape = shapeAt(engineShape, path);
  const set = mapSet === undefined ? undefined : html` in map set <q>${mapSet}</q>`;
  const unit = table.unit === '' ? undefined : html` <span class="unit">${table.unit}</span>`;
  return html`<section class="table" id="${anchor}">
<h3>${tableName(table, shape)}${set}${unit} <code>${path.join('.')}</code></h3>
${meaningOf(shape)}
${table.isMap ? mapGrid(table) : curveBody(table, shape)}
</section>`;
}

function meaningOf(shape: Shape | undefined): Content {
  return shape?.description && html`<p class="meaning">${prose(shape.description)}</p>`;
}

function curveBody(table: TableValue, shape: Shape | undefined): Content {
  const name = tableName(table, shape);
  return [chart(name, [{ label: name, curve: table }]), curveTable(table)];
}
