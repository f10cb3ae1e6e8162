import { capital } from '../capital.ts';
import type { Engine } from '../configuration/installation.ts';
import { eachReading } from '../configuration/readings.ts';
import { engineShape } from '../configuration/schemas.ts';
import { SECTIONS } from '../configuration/sections.ts';
import { childShape, holdsTables, type Shape } from '../configuration/shape.ts';
import { type Axis, nodesOf, type TableValue } from '../configuration/values.ts';
import { maximumOf } from '../extremes.ts';
import { memo } from '../memo.ts';
import type { Edit } from '../source/edit.ts';
import { keyOf } from '../source/source-file.ts';
import { type Node, type ScalarNode, sourceText } from '../source/tree.ts';
import { MAX_DECIMALS } from '../spelling.ts';
import type { PlacedTable, Subject } from './check.ts';

export type { PlacedTable } from './check.ts';

/** Every curve and map written in this file, including those of map sets. */
export function tablesOf({ tables, path }: Subject): readonly PlacedTable[] {
  return tables.filter(({ table }) => table.node.chunk.file === path);
}

/** Every curve and map in the files that were read. */
export const placedTables = eachReading(['table'], ({ value, shape }) => [placedOf(value, shape)]);

/** Cached, so that an unchanged table keeps its object when something else in its section changes. */
const placedOf = memo((table: TableValue, shape: Shape): PlacedTable => ({ table, shape }));

/** The sections that can hold tables. The tables of a map set appear in the sections that the set changes. */
const sectionsWithTables = memo((shape: Shape) =>
  SECTIONS.filter(
    (name) => name !== 'map_sets' && name !== 'standby' && holdsTables(childShape(shape, name)),
  ),
);

/** Every curve and map that an engine uses, whichever file it is written in; of the map sets, only the tables of the selected one. */
export function tablesOfEngine({ configuration }: Engine): TableValue[] {
  return sectionsWithTables(engineShape).flatMap((name) => tablesIn(configuration[name]));
}

function tablesIn(bound: unknown): readonly TableValue[] {
  if (typeof bound !== 'object' || bound === null) return [];
  if ((bound as { type?: unknown }).type === 'table') return [bound as TableValue];
  return nodesOf(bound).length > 0 ? tablesBelow(bound) : [];
}

/** The tables below a section. A bound section survives edits elsewhere, and map sets share it. */
const tablesBelow = memo((section: object) => Object.values(section).flatMap(tablesIn));

/** The label of a table: `Volumetric efficiency`. */
export function tableName({ node }: TableValue, shape?: Shape): string {
  const key = keyOf(node)?.text.replaceAll('_', ' ') ?? 'table';
  return shape?.label ?? capital(key);
}

/** The axes that the table has, with their names in the file. */
export function axesOf({ x, y }: TableValue): { name: 'x' | 'y'; axis: Axis }[] {
  return [...(x ? [{ name: 'x' as const, axis: x }] : []), ...(y ? [{ name: 'y' as const, axis: y }] : [])];
}

export function breakpointsNode(axis: Axis): Node {
  return axis.node.get('breakpoints') ?? axis.node;
}

/** `3000 rpm`: a breakpoint as written in the file. */
export function breakpointText(axis: Axis, index: number): string {
  return `${axis.nodes[index]?.text ?? ''} ${axis.unit}`.trim();
}

/** `3000 rpm, 100 kPa abs` */
export function cellPlace({ x, y }: TableValue, row: number, column: number): string {
  const across = x ? breakpointText(x, column) : '';
  return y ? `${across}, ${breakpointText(y, row)}` : across;
}

/** `88 %`: a number with the unit of the table. */
export function withUnit({ unit }: TableValue, text: string): string {
  return `${text} ${unit}`.trim();
}

/** How many decimals each row of a table is written with. Rows are read on demand. */
export class RowSpellings {
  readonly #decimals: number[] = [];

  constructor(readonly table: TableValue) {}

  /** The smallest step that the decimals of a row can express: 0.1 for one decimal. */
  stepIn(row: number): number {
    return 10 ** -this.#decimalsIn(row);
  }

  /** Formats a number with as many decimals as the row has. */
  like(row: number, number: number): string {
    if (this.table.rows[row]!.some(({ text }) => /e/i.test(text)))
      return String(Number(number.toPrecision(3)));
    return number.toFixed(this.#decimalsIn(row));
  }

  #decimalsIn(row: number): number {
    this.#decimals[row] ??= maximumOf(this.table.rows[row]!.map(decimalsOf));
    return this.#decimals[row];
  }
}

function decimalsOf({ text }: ScalarNode): number {
  const [mantissa = '', exponent = '0'] = text.toLowerCase().split('e');
  return Math.min(MAX_DECIMALS, (mantissa.split('.')[1]?.length ?? 0) - Number(exponent));
}

/** Reorders the texts of nodes: node `i` gets the text of node `order[i]`. The text between them stays. */
export function reorder(nodes: readonly Node[], order: readonly number[]): Edit[] {
  return nodes.flatMap((node, i) => {
    const text = sourceText(nodes[order[i]!]!);
    return text === sourceText(node) ? [] : [{ span: node, text }];
  });
}

/** Whether all nodes are written in the table itself. Behind an alias, an edit would change other places too. */
export function areWrittenIn(table: TableValue, nodes: readonly Node[]): boolean {
  const { chunk, start, end } = table.node;
  return nodes.every((node) => node.chunk === chunk && node.start >= start && node.end <= end);
}
