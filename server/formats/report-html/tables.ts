import { tableName } from '../../../shared/checks/tables.ts';
import type { Engine, Installation } from '../../../shared/configuration/installation.ts';
import { engineShape } from '../../../shared/configuration/schemas.ts';
import { type Shape, shapeAt } from '../../../shared/configuration/shape.ts';
import { nodesOf, type TableValue } from '../../../shared/configuration/values.ts';
import { type Content, type Html, html, prose } from '../../html.ts';
import { chart, curveTable } from './chart.ts';
import type { ChapterMaker } from './dossier.ts';
import { mapGrid } from './grid.ts';

/** A curve or map with its place, and its map set if it is not the engine's own. */
interface PlacedTable {
  readonly table: TableValue;
  readonly path: readonly string[];
  readonly mapSet: string | undefined;
}

/** Limits have their own chapter; the tables of a map set are drawn at their place in the engine. */
const ELSEWHERE: readonly (string | undefined)[] = ['protection', 'map_sets'];

/** Every curve and map of the installation: first those of the file, then those of each map set. */
export function placedTables({ engines }: Installation): PlacedTable[] {
  // The engine of a map set shares unchanged tables with the file's own engine.
  const met = new Set<object>();
  return engines.flatMap((engine) => tablesIn(engine, met));
}

/** The tables of an engine that have not been visited before. */
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

/** A link to the drawing of a table, or only its size if the drawing is next to it. */
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
  return isMap ? `map of ${columns} × ${rows.length} cells` : `curve of ${columns} cells`;
}

export const tablesChapter: ChapterMaker = ({ analysis: { installation } }) => {
  const tables = placedTables(installation);
  if (tables.length === 0) return undefined;
  return {
    id: 'tables',
    title: 'Maps and curves',
    body: html`<p class="legend">Darker cells have higher values (on a dark screen lighter cells). The controller interpolates
linearly between breakpoints and holds the edge value outside them.</p>
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
