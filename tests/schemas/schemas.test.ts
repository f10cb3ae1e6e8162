import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { controllerSchema, engineSchema } from '../../generated/schemas.ts';
import { fileValidators, validators } from '../../generated/validators.mjs';
import { shapeOf } from '../../shared/configuration/shape.ts';
import { describeKind, isFault, measuredQuantity, parseAs, parseRange } from '../../shared/quantity/index.ts';
import type { Kind } from '../../shared/quantity/kinds.ts';

interface Schema {
  readonly [keyword: string]: unknown;
  readonly description?: string;
  readonly label?: string;
  readonly type?: string | readonly string[];
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly additionalProperties?: Schema | false;
  readonly required?: readonly string[];
  readonly items?: Schema;
  readonly $ref?: string;
}

const read = (path: string): string => readFileSync(new URL(path, import.meta.url), 'utf8');
const schemaFile = (name: string): Schema & { $defs: Record<string, Schema> } =>
  JSON.parse(read(`../../schemas/${name}.schema.json`));
const files = {
  engine: { schema: schemaFile('engine'), generated: engineSchema },
  controller: { schema: schemaFile('controller'), generated: controllerSchema },
};
const kinds = Object.keys(files) as (keyof typeof files)[];
const examples = Object.fromEntries(
  kinds.map((kind) => [kind, parse(read(`../fixtures/complete.${kind}.yaml`))]),
);
const example = (kind: string) => structuredClone(examples[kind]);
const wired = (kind: string) => parse(read(`../fixtures/wired.${kind}.yaml`)) as unknown;

/** Every key of a schema with its subschema, each definition once. */
function* keysOf({
  $defs,
  ...root
}: Schema & { $defs: Record<string, Schema> }): Generator<[string, Schema]> {
  function* below(path: string, schema: Schema): Generator<[string, Schema]> {
    for (const [key, child] of Object.entries(schema.properties ?? {})) {
      const at = `${path}.${key}`;
      yield [at, child.$ref ? { ...$defs[child.$ref.slice('#/$defs/'.length)], ...child } : child];
      yield* below(at, child);
    }
    if (schema.additionalProperties && !schema.relation) {
      if (!schema.additionalProperties.$ref) yield [`${path}.*`, schema.additionalProperties];
      yield* below(`${path}.*`, schema.additionalProperties);
    }
  }
  yield* below('', root);
  for (const [name, definition] of Object.entries($defs)) {
    yield [name, definition];
    yield* below(name, definition);
  }
}

const CAPACITIVE = ['', '.charge_energy', '.trigger_delay', '.compensated'];

const keys = kinds.flatMap((kind) => [...keysOf(files[kind].schema)].map(([at, key]) => ({ kind, at, key })));

describe('what a key says of itself', () => {
  test.each(kinds)('%s: every key has a label and a description in whole sentences', (kind) => {
    for (const [at, { label, description }] of keysOf(files[kind].schema)) {
      expect(description, at).toMatch(/^[A-Z0-9].{18,}\.$/);
      if (!/quantity_or_(curve|map)/.test(at)) expect(label, at).toMatch(/^[A-Z]/);
    }
  });

  test('a place for a number with a unit names the kind of quantity', () => {
    const bare = keys.filter(({ key }) => [key.type].flat().includes('number') && !key.quantity);
    // Texts that may look like numbers; the unit of a tolerance is that of its table.
    const places = bare.map(({ at }) => at).filter((at) => !at.endsWith('.tolerance'));
    expect(places).toEqual(['.title', '.revision', 'quantity_or_curve', 'quantity_or_map', '.name']);
  });

  test('every kind is one that the units know', () => {
    const named = keys.flatMap(({ at, key }) => {
      const tables = [key.curve, key.map].map((table) => (table as { unit?: string } | undefined)?.unit);
      const { from, to } = (key.relation ?? {}) as { from?: string; to?: string };
      return [key.quantity, key.range, ...tables, from, to].filter(Boolean).map((kind) => ({ at, kind }));
    });
    expect(named.length).toBeGreaterThan(100);
    expect(() => describeKind('flavour' as Kind)).toThrow();
    for (const { at, kind } of named)
      expect(() => describeKind(kind as Kind), `${at}: ${kind}`).not.toThrow();
  });

  test('a table stands on quantities that have names, and its snippet is such a table', () => {
    const tables = keys.filter(({ key }) => key.snippet);
    expect(tables.length).toBeGreaterThan(10);
    for (const { at, key } of tables) {
      const { x, y = [], unit } = (key.map ?? key.curve) as { x: string[]; y?: string[]; unit: Kind };
      for (const quantity of [...x, ...y])
        expect(measuredQuantity(quantity), `${at}: ${quantity}`).toBeDefined();
      const table = parse((key.snippet as string).replaceAll(/\$\d+/g, '0'));
      expect(x, at).toContain(table.x.quantity);
      if (y.length > 0) expect(y, at).toContain(table.y.quantity);
      expect(isFault(parseAs(unit, `1 ${table.unit ?? ''}`)), at).toBe(false);
    }
  });

  test('the usual range lies inside the physical one', () => {
    const bounded = keys.filter(({ key }) => key.usual || key.physical);
    expect(bounded.length).toBeGreaterThan(80);
    for (const { at, key } of bounded) {
      const table = (key.curve ?? key.map) as { unit: Kind } | undefined;
      const kind = (key.quantity ?? key.range ?? table?.unit) as Kind;
      const [usual, physical] = [key.usual ?? key.physical, key.physical].map((text) => {
        const range = parseRange(kind, text as string);
        if (isFault(range)) throw new Error(`${at}: ${text} is no range of ${kind}: ${range.fault}`);
        return range;
      });
      expect(usual!.low.canonical, at).toBeGreaterThanOrEqual(physical!.low.canonical);
      expect(usual!.high.canonical, at).toBeLessThanOrEqual(physical!.high.canonical);
    }
  });

  test('what is required is among the properties, and no keyword is unheard of', () => {
    const words = new Set(Object.keys(JSON.parse(read('../../schemas/keywords.json'))));
    const standard = [
      ...['$ref', 'type', 'description', 'properties', 'required', 'additionalProperties', 'items', 'enum'],
      ...['minimum', 'maximum', 'pattern', 'allOf'],
    ];
    for (const { at, key } of keys) {
      for (const name of key.required ?? []) expect(Object.keys(key.properties ?? {}), at).toContain(name);
      for (const word of Object.keys(key)) expect([...words, ...standard], at).toContain(word);
    }
  });
});

describe('the complete example', () => {
  test.each(kinds)('%s: validates, whole and section by section', (kind) => {
    const file = example(kind);
    expect(fileValidators[kind](file), JSON.stringify(fileValidators[kind].errors, null, 1)).toBe(true);
    for (const [section, value] of Object.entries(file)) {
      expect(validators[kind][section]!(value), section).toBe(true);
    }
  });

  test.each(kinds)('%s: shows every key of the schema', (kind) => {
    const { $defs, ...root } = files[kind].schema;
    const written = new Set<string>();
    const walk = (value: unknown, schema: Schema | false | undefined, path: string): void => {
      if (!schema || typeof value !== 'object' || value === null) return;
      if (schema.$ref) {
        const name = schema.$ref.slice('#/$defs/'.length);
        walk(value, $defs[name], name);
        return;
      }
      for (const [key, child] of Object.entries(value)) {
        const named = schema.properties?.[key];
        const at = `${path}.${named ? key : '*'}`;
        written.add(at);
        walk(child, named ?? (Array.isArray(value) ? schema.items : schema.additionalProperties), at);
      }
    };
    walk(example(kind), root, '');
    walk(wired(kind), root, '');
    // Tolerances have a fixture of their own, `tolerance-invalid`.
    const absent = [...keysOf(files[kind].schema)].filter(
      ([at]) => at.includes('.') && !at.endsWith('.tolerance') && !written.has(at),
    );
    // A capacitive ignition is in another file (every-word.engine.yaml).
    const elsewhere = CAPACITIVE.map((key) => `ignition.capacitive${key}`);
    expect(absent.map(([at]) => at)).toEqual(kind === 'engine' ? elsewhere : []);
  });

  test.each(kinds)('%s: an unknown key is refused wherever keys are fixed', (kind) => {
    const fixed = objectsOf(example(kind), shapeOf(files[kind].generated));
    expect(fixed.length).toBeGreaterThan(10);
    for (const { at, put } of fixed) {
      const file = example(kind);
      put(file);
      expect(fileValidators[kind](file), at).toBe(false);
      const [error, ...more] = fileValidators[kind].errors ?? [];
      expect(error, at).toMatchObject({ instancePath: at, keyword: 'additionalProperties' });
      expect(more, at).toEqual([]);
    }
  });
});

type Shape = ReturnType<typeof shapeOf>;

/** Every object of a file with fixed keys, and a function that adds an unknown key to it. */
function objectsOf(value: unknown, shape: Shape | undefined, path: readonly string[] = []) {
  const found: { at: string; put: (file: unknown) => void }[] = [];
  if (!shape || typeof value !== 'object' || value === null || Array.isArray(value)) return found;
  if (!shape.others && !shape.relation) {
    const put = (file: unknown) => {
      const target = path.reduce((at, key) => (at as Record<string, unknown>)[key], file);
      (target as Record<string, unknown>).no_such_key = 1;
    };
    found.push({ at: path.map((key) => `/${key}`).join(''), put });
  }
  for (const [key, child] of Object.entries(value)) {
    found.push(...objectsOf(child, shape.properties.get(key) ?? shape.others, [...path, key]));
  }
  return found;
}

describe('what is refused', () => {
  const faultsOf = (section: string, value: unknown) => {
    const validator = validators.engine[section]!;
    validator(value);
    return (validator.errors ?? []).map(({ instancePath, keyword, params }) => ({
      instancePath,
      keyword,
      params,
    }));
  };

  test('a word that is none of the choices', () => {
    const engine = { ...example('engine').engine, cycle: 'six-stroke' };
    expect(faultsOf('engine', engine)).toEqual([
      { instancePath: '/cycle', keyword: 'enum', params: { allowedValues: ['four-stroke', 'two-stroke'] } },
    ]);
  });

  test('a missing key that the core chain needs', () => {
    const { bore: _, ...engine } = example('engine').engine;
    expect(faultsOf('engine', engine)).toEqual([
      { instancePath: '', keyword: 'required', params: { missingProperty: 'bore' } },
    ]);
  });

  test('a table where one value belongs, and text among the cells', () => {
    const { engine, fuel } = example('engine');
    expect(faultsOf('engine', { ...engine, bore: { x: 1 } })).toMatchObject([
      { instancePath: '/bore', keyword: 'type' },
    ]);
    fuel.target_lambda.values[1][2] = 'rich';
    expect(faultsOf('fuel', fuel)).toMatchObject([
      { instancePath: '/target_lambda/values/1/2', keyword: 'type' },
    ]);
  });

  test.each([
    ['thermistor', 'resistance'],
    ['ratiometric', 'scaling'],
    ['linear', 'scaling'],
    ['thermocouple', 'type'],
    ['toothed-wheel', 'teeth'],
  ])('a %s sensor without its %s', (kind, key) => {
    const faults = faultsOf('sensors', { s: { measures: 'oil_temperature', kind } });
    expect(faults).toContainEqual({
      instancePath: '/s',
      keyword: 'required',
      params: { missingProperty: key },
    });
  });

  test('nothing in a map set for being left out there, an unknown key all the same', () => {
    const set = (apply: unknown) => ({ sets: { ferry: { when: 'closed', apply } } });
    expect(
      faultsOf('map_sets', set({ engine: { maximum_speed: '5000 rpm' }, fuel: { injectors: {} } })),
    ).toEqual([]);
    const unknown = { fuel: { rail: { presure: '3 bar' } } };
    expect(faultsOf('map_sets', set(unknown))).toMatchObject([{ keyword: 'additionalProperties' }]);
    const halfTable = { boost: { target: { unit: 'kPa abs' } } };
    expect(faultsOf('map_sets', set(halfTable))).toMatchObject(Array(3).fill({ keyword: 'required' }));
  });
});

describe('what is generated', () => {
  const types = read('../../generated/configuration.ts');

  test.each([
    'EngineConfiguration',
    'FuelSection',
    'Injectors',
    'Sensor',
    'ProtectionLimit',
    'OperatingPoint',
    'ControllerConfiguration',
    'Pin',
    'StorageField',
  ])('the type %s', (name) => expect(types).toContain(`export interface ${name} {`));

  test.each([
    ["layout?: TextValue<'inline' | 'opposed' | 'vee'>", 'a choice'],
    ['bore?: QuantityValue', 'a quantity'],
    ['firing_order?: ListValue<QuantityValue>', 'a list'],
    ['dead_time?: TableValue', 'a table'],
    ['advance_range?: RangeValue', 'a range'],
    ['scaling?: RelationValue', 'a relation'],
    ['caution?: QuantityValue | TableValue', 'a value or a curve'],
    ['compensate?: FlagValue', 'a flag'],
    ['[k: string]: Sensor', 'entries of any name'],
    ['fuel?: FuelSection', 'a section'],
  ])('%s for %s', (declaration) => expect(types).toContain(`${declaration}\n`));

  test('every property is optional, for a file may be half written', () => {
    const required = types.match(/^\s*\w+: (?!string\])/gm) ?? [];
    expect(required).toEqual([]);
  });
});
