import {
  fromUnit,
  isFault,
  isToleranceFault,
  measuredQuantity,
  parseAs,
  parseTolerance,
  type Tolerance,
  type Unit,
} from '../quantity/index.ts';
import type { Kind, PressureReference } from '../quantity/kinds.ts';
import type { MappingNode, Node } from '../source/tree.ts';
import type { BindingFault } from './binding-fault.ts';
import { childShape, type Shape, type TableShape } from './shape.ts';
import type { Axis, TableValue } from './values.ts';

/** Reads a curve or a map. Everything readable is in the result; `cells` is set only if rows and breakpoints match. */
export function bindTable(
  table: TableShape,
  shape: Shape,
  node: MappingNode,
  faults: BindingFault[],
): TableValue {
  reportMissing(node, shape, faults);
  const x = bindAxis(node.get('x'), childShape(shape, 'x'), faults);
  const y = table.y ? bindAxis(node.get('y'), childShape(shape, 'y'), faults) : undefined;
  const unit = readUnit(table.unit, node, shape, faults);
  const tolerance = unit && readTolerance(table.unit, node, shape, unit.unit, faults);
  const valuesNode = node.get('values');
  const rowNodes = rowsOf(valuesNode, table.y !== undefined);
  const rows = rowNodes.map((row) =>
    row.type === 'sequence' ? row.items.filter((cell) => cell.type === 'scalar') : [],
  );
  const width = x?.breakpoints.length ?? -1;
  const height = table.y ? (y?.breakpoints.length ?? -1) : 1;
  const complete =
    unit !== undefined &&
    rows.length === height &&
    rows.every((row) => row.length === width && row.every((cell) => typeof cell.value === 'number')) &&
    rises(x) &&
    (!table.y || rises(y));
  return {
    type: 'table',
    node,
    kind: table.unit,
    x,
    y,
    isMap: table.y !== undefined,
    unit: unit?.text ?? '',
    ...(unit?.reference && { reference: unit.reference }),
    unitNode: node.get('unit'),
    valuesNode,
    rows,
    rowNodes,
    cells: complete
      ? Float64Array.from(rows.flat(), (cell) => inCanonical(cell.value as number, unit))
      : undefined,
    ...(tolerance && { tolerance }),
  };
}

/** The tolerance of every value of a table: a percentage of each, or a number in the unit of the table or its own. */
function readTolerance(
  kind: Kind,
  table: MappingNode,
  shape: Shape,
  unit: Unit | undefined,
  faults: BindingFault[],
): Tolerance | undefined {
  const node = table.get('tolerance');
  if (node?.type !== 'scalar' || node.style === 'empty') return undefined;
  const isBare = typeof node.value === 'number';
  const text = isBare && unit ? `${node.text} ${unit.offset ? 'K' : unit.symbol}` : node.text;
  const read = parseTolerance(text, unit, isBare);
  if (!isToleranceFault(read)) return read;
  const fault = { fault: 'tolerance', range: [0, node.text.length], tolerance: read } as const;
  faults.push({ type: 'quantity', node, kind, shape: childShape(shape, 'tolerance') ?? shape, fault });
  return undefined;
}

/** The rows of `values`; the single list of a curve counts as one row. */
function rowsOf(values: Node | undefined, isMap: boolean): readonly Node[] {
  if (values?.type !== 'sequence') return [];
  return isMap ? values.items : [values];
}

function rises(axis: Axis | undefined): boolean {
  if (!axis || axis.breakpoints.length === 0 || axis.breakpoints.length !== axis.nodes.length) return false;
  return axis.breakpoints.every((point, i) => i === 0 || point > axis.breakpoints[i - 1]!);
}

function bindAxis(
  node: Node | undefined,
  shape: Shape | undefined,
  faults: BindingFault[],
): Axis | undefined {
  if (node?.type !== 'mapping' || !shape) return undefined;
  reportMissing(node, shape, faults);
  const quantity = node.get('quantity');
  const list = node.get('breakpoints');
  if (quantity?.type !== 'scalar' || list?.type !== 'sequence') return undefined;
  const unit = readUnit(measuredQuantity(quantity.text)?.entry.kind ?? 'any', node, shape, faults);
  const nodes = list.items.filter((item) => item.type === 'scalar');
  const numbers = nodes.map((point) => point.value).filter((value) => typeof value === 'number');
  return {
    node,
    quantity: quantity.text,
    unit: unit?.text ?? '',
    ...(unit?.reference && { reference: unit.reference }),
    breakpoints: unit ? numbers.map((number) => inCanonical(number, unit)) : [],
    nodes,
  };
}

function reportMissing(mapping: MappingNode, shape: Shape, faults: BindingFault[]): void {
  for (const key of shape.required) {
    if (mapping.entry(key)) continue;
    faults.push({ type: 'missing-key', mapping, key, shape: childShape(shape, key) ?? shape });
  }
}

interface WrittenUnit {
  readonly text: string;
  readonly unit?: Unit;
  readonly reference?: PressureReference;
}

const inCanonical = (number: number, { unit }: WrittenUnit): number =>
  unit ? fromUnit(number, unit) : number;

/** The unit under the key `unit`, if it fits the kind. A kind that allows numbers without a unit needs none. */
function readUnit(
  kind: Kind,
  node: MappingNode,
  shape: Shape,
  faults: BindingFault[],
): WrittenUnit | undefined {
  const unitNode = node.get('unit');
  const unitShape = childShape(shape, 'unit') ?? shape;
  if (unitNode && unitNode.type !== 'scalar') return undefined;
  // Parses `1 UNIT`, so that the same rules apply to a unit here as to a unit after a number.
  const text = unitNode?.text ?? '';
  const read = parseAs(kind, `1 ${text}`.trim());
  if (!isFault(read)) {
    return {
      text,
      ...(read.unit && { unit: read.unit }),
      ...(read.reference && { reference: read.reference }),
    };
  }
  if (!unitNode) faults.push({ type: 'missing-key', mapping: node, key: 'unit', shape: unitShape });
  else {
    const [start, end] = read.range.map((at) => Math.max(0, at - 2)) as [number, number];
    faults.push({
      type: 'quantity',
      node: unitNode,
      kind,
      shape: unitShape,
      fault: { ...read, range: [start, end] },
    });
  }
  return undefined;
}
