import type { Kind } from '../quantity/kinds.ts';
import type { PathStep } from '../source/tree.ts';

/** What stands where a table may: its axes' quantities, the kind of its cells and the trend that the trade expects. */
export interface TableShape {
  readonly x: readonly string[];
  readonly y?: readonly string[];
  readonly unit: Kind;
  readonly trend?: { readonly x?: Trend; readonly y?: Trend };
}

export type Trend = 'rises' | 'falls';

/**
 * What one place of a file may hold: the schema with references followed and our own keywords read. Binding, hover and
 * completion all ask the shape, so a key is described in the schema and nowhere else.
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
  /** What a text names: `sensor`, `pin`, `map set`, … */
  readonly names: string | undefined;
  readonly file: 'engine' | 'controller' | undefined;
  readonly unitOf: string | undefined;
  readonly choices: readonly (string | number | boolean)[] | undefined;
  readonly primitive: string | undefined;
  readonly properties: ReadonlyMap<string, Shape>;
  readonly required: readonly string[];
  /** The shape of every key that is not among the properties, where any name may stand. */
  readonly others: Shape | undefined;
  readonly items: Shape | undefined;
}

type Schema = { readonly [key: string]: unknown };

/** Reads a schema into shapes, each when first asked for. */
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

/** Follows `$ref`; keywords beside the reference win over those behind it. */
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

class SchemaShape implements Shape {
  #properties: ReadonlyMap<string, Shape> | undefined;

  constructor(
    readonly schema: Schema,
    readonly shape: (schema: Schema) => Shape,
  ) {}

  #word<Word = string>(keyword: string): Word | undefined {
    return this.schema[keyword] as Word | undefined;
  }

  get label() {
    return this.#word('label');
  }
  get description() {
    return this.#word('description');
  }
  get usual() {
    return this.#word('usual');
  }
  get physical() {
    return this.#word('physical');
  }
  get snippet() {
    return this.#word('snippet');
  }
  get quantity() {
    return this.#word<Kind>('quantity');
  }
  get range() {
    return this.#word<Kind>('range');
  }
  get names() {
    return this.#word('names');
  }
  get file() {
    return this.#word<'engine' | 'controller'>('file');
  }
  get unitOf() {
    return this.#word('unitOf');
  }
  get choices() {
    if ('const' in this.schema) return [this.schema.const as string];
    return this.#word<readonly string[]>('enum');
  }
  get primitive() {
    const type = [this.schema.type].flat()[0];
    return typeof type === 'string' ? type : undefined;
  }
  get relation() {
    return this.#word<{ from: Kind; to: Kind }>('relation');
  }
  get table(): TableShape | undefined {
    const table = this.#word<TableShape>('map') ?? this.#word<TableShape>('curve');
    return (
      table && { ...table, trend: this.#word<NonNullable<TableShape['trend']>>('trend') ?? table.trend ?? {} }
    );
  }
  get required() {
    return this.#word<readonly string[]>('required') ?? [];
  }
  get others() {
    const schema = this.schema.additionalProperties;
    return typeof schema === 'object' && schema !== null ? this.shape(schema as Schema) : undefined;
  }
  get items() {
    const schema = this.schema.items;
    return typeof schema === 'object' && schema !== null ? this.shape(schema as Schema) : undefined;
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
}

export function childShape(shape: Shape | undefined, step: PathStep): Shape | undefined {
  if (!shape) return undefined;
  if (typeof step === 'number') return shape.items;
  return shape.properties.get(step) ?? shape.others;
}

/** The shape of the place that a path leads to, undefined where the schema knows no such place. */
export function shapeAt(root: Shape, path: readonly PathStep[]): Shape | undefined {
  return path.reduce<Shape | undefined>(childShape, root);
}
