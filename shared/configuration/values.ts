import type { Quantity, Tolerance } from '../quantity/index.ts';
import type { Kind, PressureReference } from '../quantity/kinds.ts';
import type { MappingNode, Node, ScalarNode, SequenceNode } from '../source/tree.ts';

/** A number with or without a unit. `canonical` is in SI units, except crank speed in rpm and angles in degrees. */
export interface QuantityValue {
  readonly type: 'quantity';
  readonly node: ScalarNode;
  readonly kind: Kind;
  readonly quantity: Quantity;
  readonly canonical: number;
}

/** `LOW..HIGH UNIT`; both ends in canonical units. */
export interface RangeValue {
  readonly type: 'range';
  readonly node: ScalarNode;
  readonly kind: Kind;
  readonly low: Quantity;
  readonly high: Quantity;
}

export interface TextValue<Text extends string = string> {
  readonly type: 'text';
  readonly node: ScalarNode;
  readonly text: Text;
}

export interface FlagValue {
  readonly type: 'flag';
  readonly node: ScalarNode;
  readonly flag: boolean;
}

export interface ListValue<Item> {
  readonly type: 'list';
  readonly node: SequenceNode;
  readonly items: readonly Item[];
}

/** `{ 0.40 V: 20 kPa abs, … }`: pairs that assign a value of the second quantity to one of the first. */
export interface RelationValue {
  readonly type: 'relation';
  readonly node: MappingNode;
  readonly points: readonly RelationPoint[];
}

export interface RelationPoint {
  readonly from: Quantity;
  readonly to: Quantity;
  readonly key: ScalarNode;
  readonly value: ScalarNode;
}

/** One axis of a curve or map; breakpoints in canonical units, in the order written. */
export interface Axis {
  readonly node: MappingNode;
  readonly quantity: string;
  /** The unit as written, with its pressure reference: `kPa abs`. */
  readonly unit: string;
  readonly reference?: PressureReference;
  readonly breakpoints: readonly number[];
  readonly nodes: readonly ScalarNode[];
}

/**
 * A curve (one row, no `y`) or a map (a row for each y breakpoint). `cells` holds the values in canonical units, row by
 * row. It is set only if axes and rows match, so its shape can be relied on.
 */
export interface TableValue {
  readonly type: 'table';
  readonly node: MappingNode;
  readonly kind: Kind;
  readonly x: Axis | undefined;
  readonly y: Axis | undefined;
  readonly isMap: boolean;
  readonly unit: string;
  readonly reference?: PressureReference;
  readonly unitNode: Node | undefined;
  readonly valuesNode: Node | undefined;
  /** The cells as written, row by row, even if their number is wrong. */
  readonly rows: readonly (readonly ScalarNode[])[];
  readonly rowNodes: readonly Node[];
  readonly cells: Float64Array | undefined;
  /** Of each cell. */
  readonly tolerance?: Tolerance;
}

export type Value =
  | QuantityValue
  | RangeValue
  | TextValue
  | FlagValue
  | ListValue<unknown>
  | RelationValue
  | TableValue;

const NODES = Symbol('nodes');

/** Stores with a bound section the mappings that it was merged from: base file first, overlays after. */
export function rememberNodes<Section extends object>(
  section: Section,
  nodes: readonly MappingNode[],
): Section {
  Object.defineProperty(section, NODES, { value: nodes });
  return section;
}

export function nodesOf(section: object): readonly MappingNode[] {
  return (section as { [NODES]?: readonly MappingNode[] })[NODES] ?? [];
}

/** The mapping of a bound section in the topmost layer, or the node of a bound value. */
export function nodeOf(bound: object): Node {
  return (bound as { node?: Node }).node ?? nodesOf(bound).at(-1)!;
}

/** The value at a path of keys; undefined if there is none, or only a section. */
export function valueAtPath(
  configuration: object,
  [section = '', ...steps]: readonly string[],
): Value | undefined {
  // Reads only this section, so that changes in other sections do not invalidate cached results.
  let at = (configuration as Readonly<Record<string, unknown>>)[section];
  for (const step of steps) at = isSection(at) ? at[step] : undefined;
  return typeof at === 'object' && at !== null && !isSection(at) ? (at as Value) : undefined;
}

/** Whether a bound object is a section, with keys of its own. */
export function isSection(bound: unknown): bound is Readonly<Record<string, unknown>> {
  return typeof bound === 'object' && bound !== null && nodesOf(bound).length > 0;
}
