import type { Kind } from '../quantity/kinds.ts';
import type { PathStep } from '../source/tree.ts';

/** The table that a place may hold: the quantities of its axes, the kind of its cells and the expected trend. */
export interface TableShape {
  readonly x: readonly string[];
  readonly y?: readonly string[];
  readonly unit: Kind;
  readonly trend?: { readonly x?: Trend; readonly y?: Trend };
  /** Whether values that repeat at the end of the curve are not a plateau. */
  readonly strict?: boolean;
}

export type Trend = 'rises' | 'falls';

/**
 * What a place in a file may hold: the schema with references resolved and our own keywords read. Binding, hover and
 * completion all use the shape, so a key is described only in the schema.
 */
export interface Shape {
  readonly label: string | undefined;
  readonly description: string | undefined;
  readonly usual: string | undefined;
  readonly physical: string | undefined;
  readonly snippet: string | undefined;
  readonly quantity: Kind | undefined;
  readonly range: Kind | undefined;
  readonly table: TableShape | undefined;
  readonly relation: { readonly from: Kind; readonly to: Kind } | undefined;
  /** What kind of thing a text refers to: `sensor`, `pin`, `map set`, … */
  readonly names: string | undefined;
  /** What kind of thing the keys of a mapping refer to: `quantity`, `pin`, `check`, … */
  readonly keyNames: string | undefined;
  /** What kind of thing a text, or the keys of a mapping, declare: `sensor`, `pin`, `map set`, … */
  readonly declares: string | undefined;
  readonly file: 'engine' | 'controller' | undefined;
  readonly unitOf: string | undefined;
  readonly choices: readonly (string | number | boolean)[] | undefined;
  readonly primitive: string | undefined;
  readonly properties: ReadonlyMap<string, Shape>;
  readonly required: readonly string[];
  /** Keys that are required depending on the values of others: a ratiometric sensor requires its scaling. */
  requiredWith(valueAt: (key: string) => unknown): string[];
  /** Whether a key applies, given the values beside it: `teeth` applies only to a toothed wheel. */
  fitsWith(valueAt: (key: string) => unknown): boolean;
  /** The shape of all keys that are not among the properties, if any name is allowed. */
  readonly others: Shape | undefined;
  readonly items: Shape | undefined;
  /** Whether the text must match a pattern. */
  readonly hasPattern: boolean;
  /** The minimum and maximum that the schema states for a number without a unit. */
  readonly limits: { readonly least: number; readonly most: number };
  /** Whether the order of the items of a list is irrelevant. */
  readonly isUnordered: boolean;
}

type Schema = { readonly [key: string]: unknown };

/** Converts a schema to shapes, each on first use. */
export function shapeOf(root: Schema): Shape {
  const made = new Map<Schema, Shape>();
  const shape = (schema: Schema): Shape => {
    const known = made.get(schema);
    if (known) return known;
    const fresh = new SchemaShape(resolve(root, schema), shape);
    made.set(schema, fresh);
    return fresh;
  };
  return shape(root);
}

/** Resolves `$ref`; keywords beside the reference override those of its target. */
function resolve(root: Schema, schema: Schema): Schema {
  let resolved = schema;
  while (typeof resolved.$ref === 'string') {
    const { $ref, ...beside } = resolved as { $ref: string };
    const target = $ref
      .replace(/^#\/?/, '')
      .split('/')
      .filter(Boolean)
      .reduce<unknown>((at, step) => (at as Schema | undefined)?.[step], root);
    resolved = { ...(target as Schema), ...beside };
  }
  return resolved;
}

/** Read once, because binding queries every keyword of every shape. */
class SchemaShape implements Shape {
  readonly label: string | undefined;
  readonly description: string | undefined;
  readonly usual: string | undefined;
  readonly physical: string | undefined;
  readonly snippet: string | undefined;
  readonly quantity: Kind | undefined;
  readonly range: Kind | undefined;
  readonly table: TableShape | undefined;
  readonly relation: Shape['relation'];
  readonly names: string | undefined;
  readonly keyNames: string | undefined;
  readonly declares: string | undefined;
  readonly file: Shape['file'];
  readonly unitOf: string | undefined;
  readonly choices: Shape['choices'];
  readonly primitive: string | undefined;
  readonly required: readonly string[];
  readonly hasPattern: boolean;
  readonly limits: Shape['limits'];
  readonly isUnordered: boolean;
  #properties: ReadonlyMap<string, Shape> | undefined;

  constructor(
    readonly schema: Schema,
    readonly shape: (schema: Schema) => Shape,
  ) {
    const word = <Word = string>(keyword: string) => schema[keyword] as Word | undefined;
    this.label = word('label');
    this.description = word('description');
    this.usual = word('usual');
    this.physical = word('physical');
    this.snippet = word('snippet');
    this.quantity = word<Kind>('quantity');
    this.range = word<Kind>('range');
    this.table = tableShape(schema);
    this.relation = word<NonNullable<Shape['relation']>>('relation');
    this.names = word('names');
    this.keyNames = word('keyNames');
    this.declares = word('declares');
    this.file = word<'engine' | 'controller'>('file');
    this.unitOf = word('unitOf');
    this.choices = 'const' in schema ? [schema.const as string] : word<readonly string[]>('enum');
    this.primitive = [schema.type].flat().find((type) => typeof type === 'string');
    this.required = word<readonly string[]>('required') ?? [];
    this.hasPattern = 'pattern' in schema;
    this.limits = { least: word<number>('minimum') ?? -Infinity, most: word<number>('maximum') ?? Infinity };
    this.isUnordered = word<boolean>('unordered') ?? false;
  }

  get others() {
    return this.#below('additionalProperties');
  }

  get items() {
    return this.#below('items');
  }

  get properties() {
    this.#properties ??= new Map(
      Object.entries((this.schema.properties ?? {}) as Record<string, Schema>).map(([name, schema]) => [
        name,
        this.shape(schema),
      ]),
    );
    return this.#properties;
  }

  requiredWith(valueAt: (key: string) => unknown): string[] {
    const rules = (this.schema.allOf ?? []) as readonly Conditional[];
    return rules.flatMap(({ if: condition, then }) =>
      condition && then?.required && holds(condition, valueAt) ? then.required : [],
    );
  }

  fitsWith(valueAt: (key: string) => unknown): boolean {
    const wanted = Object.entries((this.schema.where ?? {}) as Record<string, readonly unknown[]>);
    return wanted.every(([key, values]) => values.includes(valueAt(key) ?? values[0]));
  }

  #below(keyword: string): Shape | undefined {
    const schema = this.schema[keyword];
    return typeof schema === 'object' && schema !== null ? this.shape(schema as Schema) : undefined;
  }
}

interface Condition {
  readonly not?: Condition;
  readonly required?: readonly string[];
  readonly properties?: Readonly<
    Record<string, { readonly const?: unknown; readonly enum?: readonly unknown[] }>
  >;
}

interface Conditional {
  readonly if?: Condition;
  readonly then?: { readonly required?: string[] };
}

/**
 * Whether the values beside a key satisfy a condition. Supports only the JSON Schema keywords that our conditions use.
 */
function holds(condition: Condition, valueAt: (key: string) => unknown): boolean {
  if (condition.not && holds(condition.not, valueAt)) return false;
  if (condition.required?.some((key) => valueAt(key) === undefined)) return false;
  return Object.entries(condition.properties ?? {}).every(([key, wanted]) => {
    const value = valueAt(key);
    if (value === undefined) return true;
    return 'const' in wanted ? value === wanted.const : (wanted.enum?.includes(value) ?? true);
  });
}

function tableShape(schema: Schema): TableShape | undefined {
  const table = (schema.map ?? schema.curve) as TableShape | undefined;
  return (
    table && {
      ...table,
      trend: (schema.trend as TableShape['trend']) ?? table.trend ?? {},
      strict: schema.strict === true,
    }
  );
}

export function childShape(shape: Shape | undefined, step: PathStep): Shape | undefined {
  if (!shape) return undefined;
  if (typeof step === 'number') return shape.items;
  return shape.properties.get(step) ?? shape.others;
}

/** The shape of the place at a path; undefined if the schema has no such place. */
export function shapeAt(root: Shape, path: readonly PathStep[]): Shape | undefined {
  return path.reduce<Shape | undefined>(childShape, root);
}

/** Whether the place, or any place below it, may hold a table. */
export function holdsTables(shape: Shape | undefined, above: readonly Shape[] = []): boolean {
  if (!shape || above.includes(shape)) return false;
  const below = [...shape.properties.values(), shape.others, shape.items];
  return shape.table !== undefined || below.some((one) => holdsTables(one, [...above, shape]));
}
