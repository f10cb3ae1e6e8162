import type { EngineConfiguration } from '../../generated/configuration.ts';
import {
  type ListValue,
  nodesOf,
  type QuantityValue,
  type RelationValue,
  type TableValue,
  type Value,
} from '../configuration/values.ts';
import type { Quantity } from '../quantity/index.ts';
import type { Node, ScalarNode } from '../source/tree.ts';
import type { PartName } from './layout.ts';

/** A number of the engine file that a field keeps. */
export interface WrittenNumber {
  readonly node: ScalarNode;
  /** Where the digits stand in the node's text. */
  readonly digits: readonly [start: number, end: number];
  /** `kPa abs`; empty for a bare number. */
  readonly unit: string;
  readonly canonical: number;
  readonly row: number;
  readonly column: number;
}

/** The numbers of a value that go into one part of its field. */
export interface WrittenPart {
  readonly name: PartName;
  readonly rows: number;
  readonly columns: number;
  /** What a reader looks at to count the rows and columns. */
  readonly rowsNode: Node;
  readonly columnsNode: Node;
  /** None where the value is not whole. */
  readonly numbers: readonly WrittenNumber[];
}

/** The value under a key path such as `fuel.target_lambda`; undefined where there is none, or only a section. */
export function valueAtPath(configuration: EngineConfiguration, path: string): Value | undefined {
  const [section = '', ...steps] = path.split('.');
  let at: unknown = configuration[section as keyof EngineConfiguration];
  for (const step of steps) {
    if (typeof at !== 'object' || at === null || nodesOf(at).length === 0) return undefined;
    at = (at as Record<string, unknown>)[step];
  }
  return typeof at === 'object' && at !== null && nodesOf(at).length === 0 ? (at as Value) : undefined;
}

/** A value taken apart as a field keeps it; nothing for words and flags, which are no numbers. */
export function writtenParts(value: Value): WrittenPart[] {
  if (value.type === 'table') return tableParts(value);
  if (value.type === 'quantity') return [line('values', value.node, [numeral(value.node, value.quantity)])];
  if (value.type === 'range') {
    return [line('values', value.node, [numeral(value.node, value.low), numeral(value.node, value.high)])];
  }
  if (value.type === 'relation') return relationParts(value);
  if (value.type === 'list') return listParts(value);
  return [];
}

function listParts({ node, items }: ListValue<unknown>): WrittenPart[] {
  const numbers = items
    .filter((item): item is QuantityValue => (item as Value).type === 'quantity')
    .map((item) => numeral(item.node, item.quantity));
  return numbers.length > 0 && numbers.length === node.items.length ? [line('values', node, numbers)] : [];
}

/** A relation is kept as a curve: its left side as the breakpoints of x, in rising order. */
function relationParts({ node, points }: RelationValue): WrittenPart[] {
  if (points.length < node.entries.length) return [];
  const rising = [...points].sort((a, b) => a.from.canonical - b.from.canonical);
  const left = rising.map(({ key, from }) => numeral(key, from));
  const right = rising.map(({ value, to }) => numeral(value, to));
  return [line('values', node, right), line('x', node, left)];
}

function tableParts({ x, y, unit, valuesNode, node, rows, cells, isMap }: TableValue): WrittenPart[] {
  const written = rows.flatMap((row, at) => row.map((cell, column) => ({ cell, row: at, column })));
  const parts: WrittenPart[] = [];
  for (const [name, axis] of [['x', x] as const, ['y', y] as const]) {
    if (!axis) continue;
    const list = axis.node.get('breakpoints') ?? axis.node;
    const isWhole = axis.breakpoints.length === axis.nodes.length;
    const numbers = isWhole ? axis.nodes.map((point, i) => bare(point, axis.breakpoints[i]!, axis.unit)) : [];
    parts.push({ ...line(name, list, numbers), columns: axis.nodes.length });
  }
  const [across, down] = [parts.find(({ name }) => name === 'x'), parts.find(({ name }) => name === 'y')];
  const values: WrittenPart = {
    name: 'values',
    columns: across?.columns ?? 0,
    columnsNode: across?.columnsNode ?? node,
    rows: isMap ? (down?.columns ?? 0) : 1,
    rowsNode: down?.columnsNode ?? valuesNode ?? node,
    numbers: cells
      ? written.map(({ cell, row, column }, i) => ({ ...bare(cell, cells[i]!, unit), row, column }))
      : [],
  };
  return [values, ...parts];
}

type Numeral = Omit<WrittenNumber, 'row' | 'column'>;

const numeral = (node: ScalarNode, { canonical, numberRange, unitRange }: Quantity): Numeral => ({
  node,
  digits: numberRange,
  unit: unitRange ? node.text.slice(...unitRange) : '',
  canonical,
});

/** A number whose unit stands elsewhere. */
const bare = (node: ScalarNode, canonical: number, unit: string): Numeral => ({
  node,
  digits: [0, node.text.length],
  unit,
  canonical,
});

/** A part of one row. */
function line(name: PartName, node: Node, numerals: readonly Numeral[]): WrittenPart {
  const numbers = numerals.map((one, column) => ({ ...one, row: 0, column }));
  return { name, rows: 1, columns: numbers.length, rowsNode: node, columnsNode: node, numbers };
}
