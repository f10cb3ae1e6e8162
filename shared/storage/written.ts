import type {
  FlagValue,
  ListValue,
  QuantityValue,
  RelationValue,
  TableValue,
  TextValue,
  Value,
} from '../configuration/values.ts';
import { exactNumber, exactOf, type Ratio } from '../quantity/exact.ts';
import { exactFromUnit, type Quantity, splitUnit } from '../quantity/index.ts';
import type { Node, ScalarNode } from '../source/tree.ts';
import type { PartName } from './layout.ts';

/** A number of the engine file that a field stores. */
export interface WrittenNumber {
  readonly node: ScalarNode;
  /** The position of its digits in the text of the node. */
  readonly digits: readonly [start: number, end: number];
  /** `kPa abs`; empty for a number without a unit. */
  readonly unit: string;
  readonly canonical: number;
  readonly row: number;
  readonly column: number;
}

/** A word or flag of the engine file, of which a field stores the code. */
export interface WrittenWord {
  readonly node: ScalarNode;
  readonly word: string;
  readonly row: number;
  readonly column: number;
}

/** The number as its text states it, in canonical units. */
export function exactly({ node, digits, unit, canonical }: WrittenNumber): Ratio {
  const number = exactNumber(node.text.slice(...digits));
  return number ? exactFromUnit(number, splitUnit(unit)?.unit) : exactOf(canonical);
}

/** The numbers of a value that one part of its field stores. */
export interface WrittenPart {
  readonly name: PartName;
  readonly rows: number;
  readonly columns: number;
  /** The node that shows the number of rows and columns. */
  readonly rowsNode: Node;
  readonly columnsNode: Node;
  /** Empty if the value is incomplete. */
  readonly numbers: readonly WrittenNumber[];
  readonly words: readonly WrittenWord[];
}

/** The parts of a value as a field stores them. */
export function writtenParts(value: Value): WrittenPart[] {
  if (value.type === 'table') return tableParts(value);
  if (value.type === 'quantity')
    return [line('values', value.node, [numeral(value.node, value.quantity, 0)])];
  if (value.type === 'range') {
    const ends = [value.low, value.high].map((end, i) => numeral(value.node, end, i));
    return [line('values', value.node, ends)];
  }
  if (value.type === 'relation') return relationParts(value);
  if (value.type === 'list') return listParts(value);
  return [wordLine(value.node, [wordOf(value, 0)])];
}

type Word = TextValue | FlagValue;

const isWord = (value: Value): value is Word => value.type === 'text' || value.type === 'flag';

function wordOf(value: Word, column: number): WrittenWord {
  const word = value.type === 'flag' ? String(value.flag) : value.text;
  return { node: value.node, word, row: 0, column };
}

const wordLine = (node: Node, words: readonly WrittenWord[]): WrittenPart => ({
  ...line('values', node, []),
  columns: words.length,
  words,
});

function listParts({ node, items }: ListValue<unknown>): WrittenPart[] {
  const values = items as readonly Value[];
  if (values.length > 0 && values.every(isWord)) return [wordLine(node, values.map(wordOf))];
  const numbers = items
    .filter((item): item is QuantityValue => (item as Value).type === 'quantity')
    .map((item, i) => numeral(item.node, item.quantity, i));
  return numbers.length > 0 && numbers.length === node.items.length ? [line('values', node, numbers)] : [];
}

/** A relation is stored as a curve, with its left side as the x breakpoints in ascending order. */
function relationParts({ node, points }: RelationValue): WrittenPart[] {
  if (points.length < node.entries.length) return [];
  const rising = [...points].sort((a, b) => a.from.canonical - b.from.canonical);
  const left = rising.map(({ key, from }, i) => numeral(key, from, i));
  const right = rising.map(({ value, to }, i) => numeral(value, to, i));
  return [line('values', node, right), line('x', node, left)];
}

function tableParts({ x, y, unit, valuesNode, node, rows, cells, isMap }: TableValue): WrittenPart[] {
  const parts: WrittenPart[] = [];
  for (const [name, axis] of [['x', x] as const, ['y', y] as const]) {
    if (!axis) continue;
    const list = axis.node.get('breakpoints') ?? axis.node;
    const isWhole = axis.breakpoints.length === axis.nodes.length;
    const numbers = isWhole
      ? axis.nodes.map((point, i) => bare(point, axis.breakpoints[i]!, axis.unit, 0, i))
      : [];
    parts.push({ ...line(name, list, numbers), columns: axis.nodes.length });
  }
  const [across, down] = [parts.find(({ name }) => name === 'x'), parts.find(({ name }) => name === 'y')];
  const values: WrittenPart = {
    name: 'values',
    columns: across?.columns ?? 0,
    columnsNode: across?.columnsNode ?? node,
    rows: isMap ? (down?.columns ?? 0) : 1,
    rowsNode: down?.columnsNode ?? valuesNode ?? node,
    numbers: cells ? cellNumbers(rows, cells, unit) : [],
    words: [],
  };
  return [values, ...parts];
}

function cellNumbers(
  rows: readonly (readonly ScalarNode[])[],
  cells: Float64Array,
  unit: string,
): WrittenNumber[] {
  const numbers: WrittenNumber[] = [];
  for (const [row, nodes] of rows.entries()) {
    for (const [column, node] of nodes.entries())
      numbers.push(bare(node, cells[numbers.length]!, unit, row, column));
  }
  return numbers;
}

function numeral(
  node: ScalarNode,
  { canonical, numberRange, unitRange }: Quantity,
  column: number,
): WrittenNumber {
  const unit = unitRange ? node.text.slice(...unitRange) : '';
  return { node, digits: numberRange, unit, canonical, row: 0, column };
}

/** A number whose unit is written elsewhere. */
function bare(node: ScalarNode, canonical: number, unit: string, row: number, column: number): WrittenNumber {
  return { node, digits: [0, node.text.length], unit, canonical, row, column };
}

/** A part with one row. */
function line(name: PartName, node: Node, numbers: readonly WrittenNumber[]): WrittenPart {
  return { name, rows: 1, columns: numbers.length, rowsNode: node, columnsNode: node, numbers, words: [] };
}
