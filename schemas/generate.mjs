// Generates from the schemas what the program imports: the schemas with partial sections expanded; a validator for each
// file kind, each root key and each member of a long section; and the types of a bound configuration. Does nothing if
// the output is newer than the schemas.
import { mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';

const HERE = new URL('./', import.meta.url);
const OUTPUT = new URL('../generated/', import.meta.url);
const OUTPUTS = ['schemas.ts', 'validators.mjs', 'validators.d.mts', 'configuration.ts'];
const FILE_KINDS = ['engine', 'controller', 'run'];
const KINDS = FILE_KINDS.map((kind) => `'${kind}'`).join(' | ');

/** The keyword for copies of sections without required keys. */
const PARTIAL = 'partial';
/** Shared definitions that are replaced whole, so they are never partial, and that bind to a single value. */
const TABLES = ['#/$defs/curve', '#/$defs/map', '#/$defs/quantity_or_curve', '#/$defs/quantity_or_map'];

const readJson = (name) => JSON.parse(readFileSync(new URL(name, HERE), 'utf8'));
const mapValues = (object, change) =>
  Object.fromEntries(Object.entries(object).map(([key, value]) => [key, change(value, key)]));
const definitionOf = ($ref) => $ref.replace('#/$defs/', '');

/** The names of the definitions that the root keys refer to. */
export function sectionsOf(schema) {
  return Object.values(schema.properties).flatMap(({ $ref }) => ($ref ? [definitionOf($ref)] : []));
}

/** Expands every `partial`: the named sections as properties, copied without `required`. */
export function expandPartials(schema) {
  const $defs = { ...schema.$defs };
  const reference = (name) => {
    const copy = `${PARTIAL}_${name}`;
    if (!$defs[copy]) {
      $defs[copy] = {};
      $defs[copy] = withoutRequired(schema.$defs[name]);
    }
    return `#/$defs/${copy}`;
  };
  const withoutRequired = (node) => {
    if (Array.isArray(node)) return node.map(withoutRequired);
    if (typeof node !== 'object' || node === null) return node;
    if (TABLES.includes(node.$ref)) return node;
    const { required: _, $ref, ...kept } = node;
    return { ...($ref && { $ref: reference(definitionOf($ref)) }), ...mapValues(kept, withoutRequired) };
  };
  const expand = (node) => {
    if (Array.isArray(node)) return node.map(expand);
    if (typeof node !== 'object' || node === null) return node;
    const { [PARTIAL]: names, ...kept } = node;
    if (!Array.isArray(names)) return mapValues(node, expand);
    const properties = Object.fromEntries(names.map((name) => [name, { $ref: reference(name) }]));
    return { ...kept, properties, additionalProperties: false };
  };
  const expanded = expand(schema);
  return { ...expanded, $defs: { ...$defs, ...expanded.$defs } };
}

/**
 * The places below a root key with members under user-chosen names, such as sensors or messages, with the definition of
 * a member: `[['messages'], '#/$defs/bus_message']`.
 */
function memberPlaces(node, path = []) {
  const member = node.additionalProperties?.$ref;
  if (member && !node.properties) return [[path, member]];
  return Object.entries(node.properties ?? {}).flatMap(([key, child]) => memberPlaces(child, [...path, key]));
}

/** The schema of a section that accepts any member, withReason members are validated separately. */
function outlineOf(node, id) {
  if (Array.isArray(node)) return node.map((one) => outlineOf(one, id));
  if (typeof node !== 'object' || node === null) return node;
  const kept = memberPlaces(node).some(([path]) => path.length === 0)
    ? { ...node, additionalProperties: true }
    : node;
  return mapValues(kept, (child, key) => (key === '$ref' ? id + child : outlineOf(child, id)));
}

/** Schema keywords without effect on validation. */
const ANNOTATIONS = new Set(['title', 'description', ...Object.keys(readJson('keywords.json'))]);

/** Removes annotations: the validators contain their schema, and are a quarter shorter without them. */
function withoutAnnotations(node) {
  if (Array.isArray(node)) return node.map(withoutAnnotations);
  if (typeof node !== 'object' || node === null) return node;
  const judged = Object.entries(node).filter(([key]) => !ANNOTATIONS.has(key));
  const named = ([key, child]) => [
    key,
    NAMES.has(key) ? mapValues(child, withoutAnnotations) : withoutAnnotations(child),
  ];
  return Object.fromEntries(judged.map(named));
}

/** The keywords whose keys are names and not keywords. */
const NAMES = new Set(['properties', '$defs']);

async function validators(schemas) {
  const { default: Ajv } = await import('ajv/dist/2020.js');
  const { default: standalone } = await import('ajv/dist/standalone/index.js');
  const ajv = new Ajv.default({
    allErrors: true,
    strict: true,
    strictRequired: false, // What a sensor needs depends on its kind and is said beside its properties.
    allowUnionTypes: true,
    inlineRefs: false,
    messages: false,
    code: { source: true, esm: true },
  });
  const exported = {};
  const files = [];
  const tables = [];
  const outlines = [];
  const members = [];
  for (const [kind, schema] of Object.entries(mapValues(schemas, withoutAnnotations))) {
    ajv.addSchema(schema);
    exported[`${kind}_file`] = schema.$id;
    files.push(`  ${kind}: ${kind}_file,`);
    const keys = Object.entries(schema.properties).map(([key, { $ref }]) => {
      exported[`${kind}_${key}`] = schema.$id + ($ref ?? `#/properties/${key}`);
      return `${key}: ${kind}_${key}`;
    });
    tables.push(`  ${kind}: { ${keys.join(', ')} },`);
    const $defs = {};
    const sections = Object.entries(schema.properties).flatMap(([key, { $ref }]) => {
      const definition = $ref && schema.$defs[definitionOf($ref)];
      const places = memberPlaces(definition ?? {});
      if (places.length === 0) return [];
      $defs[key] = outlineOf(definition, schema.$id);
      exported[`${kind}_${key}_outline`] = `${kind}-outlines#/$defs/${key}`;
      return places.map(([path, member]) => {
        const name = `${kind}_${[key, ...path].join('_')}_member`;
        exported[name] = schema.$id + member;
        return { key, path, name };
      });
    });
    ajv.addSchema({ $id: `${kind}-outlines`, $defs });
    outlines.push(`  ${kind}: { ${Object.keys($defs).map((key) => `${key}: ${kind}_${key}_outline`)} },`);
    const entries = sections.map(
      ({ key, path, name }) => `{ section: '${key}', path: ${JSON.stringify(path)}, validator: ${name} }`,
    );
    members.push(`  ${kind}: [\n    ${entries.join(',\n    ')},\n  ],`);
  }
  // Nobody asks which place of the schema an error is about, and it is a tenth of the code.
  const code = standalone.default(ajv, exported).replaceAll(/schemaPath:"[^"]*",/g, '');
  if (/\brequire\(/.test(code))
    throw new Error('The validators import a module at run time; they must be self-contained.');
  return [
    code,
    `export const validators = {\n${tables.join('\n')}\n};`,
    `export const outlineValidators = {\n${outlines.join('\n')}\n};`,
    `export const memberValidators = {\n${members.join('\n')}\n};`,
    `export const fileValidators = {\n${files.join('\n')}\n};\n`,
  ].join('\n');
}

const VALIDATOR_TYPES = `\
export interface SchemaError {
  /** JSON pointer to the value. */
  readonly instancePath: string;
  readonly keyword: string;
  readonly params: Readonly<Record<string, unknown>>;
}
export interface Validator {
  (data: unknown): boolean;
  /** The errors of the last call. */
  errors?: SchemaError[] | null;
}
/** For each file kind, a validator of each root key. */
export declare const validators: Readonly<Record<${KINDS}, Readonly<Record<string, Validator>>>>;
/** The sections with members under user-chosen names, validated without these members. */
export declare const outlineValidators: Readonly<Record<${KINDS}, Readonly<Record<string, Validator>>>>;
/** The path of such members below a section, and the validator of a member. */
export declare const memberValidators: Readonly<
  Record<${KINDS}, readonly { section: string; path: readonly string[]; validator: Validator }[]>
>;
/** For each file kind, a validator of a whole file without a base file. */
export declare const fileValidators: Readonly<Record<${KINDS}, Validator>>;
`;

const TYPES_HEAD = `\
import type {
  FlagValue, ListValue, QuantityValue, RangeValue, RelationValue, TableValue, TextValue,
} from '../shared/configuration/values.ts';

`;

const pascal = (name) => name.replace(/(?:^|_)([a-z])/g, (_, letter) => letter.toUpperCase());

/** The type of one bound value; undefined if the value is a section. */
function leafType(schema) {
  const types = [schema.type].flat();
  if (types.includes('array') && types.length > 1)
    return `${leafType({ ...schema, type: types.filter((type) => type !== 'array') })} | ListValue<${leafType(schema.items)}>`;
  const kinds = [];
  if (schema.quantity) kinds.push('QuantityValue');
  if (schema.curve || schema.map) kinds.push('TableValue');
  if (schema.range) kinds.push('RangeValue');
  if (schema.relation) kinds.push('RelationValue');
  if (kinds.length > 0) return kinds.join(' | ');
  if (schema.enum) return `TextValue<${schema.enum.map((word) => `'${word}'`).join(' | ')}>`;
  if (types.includes('string')) return 'TextValue';
  if (types.includes('integer') || types.includes('number')) return 'QuantityValue';
  return types.includes('boolean') ? 'FlagValue' : undefined;
}

/** Whether a place takes one section or a list of them. */
const isOneOrList = ({ type, items }) => items?.$ref && [type].flat().includes('object');

/** The schema of a bound value: every key is optional, and a leaf is one of our value types. */
function boundSchema(schema, name) {
  const { description } = schema;
  if (isOneOrList(schema)) {
    const item = pascal(definitionOf(schema.items.$ref));
    return { description, tsType: `${item} | ListValue<${item}>` };
  }
  const leaf = leafType(schema);
  if (leaf) return { description, tsType: leaf };
  if (schema.$ref) return { $ref: schema.$ref };
  if (schema.type === 'array') {
    const item = leafType(schema.items);
    if (!item) throw new Error(`${name}: a list outside a table must contain single values.`);
    return { description, tsType: `ListValue<${item}>` };
  }
  const properties = schema.partial
    ? Object.fromEntries(schema.partial.map((section) => [section, { $ref: `#/$defs/${section}` }]))
    : mapValues(schema.properties ?? {}, (child, key) => boundSchema(child, name + pascal(key)));
  return {
    title: name,
    description,
    type: 'object',
    properties,
    additionalProperties: othersOf(schema, name),
  };
}

function othersOf(schema, name) {
  if (!schema.additionalProperties) return false;
  if (!schema.properties) return boundSchema(schema.additionalProperties, `${name}Entry`);
  // An index signature must also admit the keys that are named.
  const all = [schema.additionalProperties, ...Object.values(schema.properties)].map(leafType);
  return { tsType: [...new Set(all)].join(' | ') };
}

async function configurationTypes(schemas) {
  const { compile } = await import('json-schema-to-typescript');
  const texts = await Promise.all(
    Object.entries(schemas).map(([kind, schema]) => {
      const sections = sectionsOf(schema);
      const name = `${pascal(kind)}Configuration`;
      const { $defs, $id: _, $schema: __, ...root } = schema;
      const kept = Object.entries($defs).filter(
        ([key]) => key !== 'axis' && !TABLES.includes(`#/$defs/${key}`),
      );
      const bound = {
        ...boundSchema(root, name),
        $defs: mapValues(Object.fromEntries(kept), (definition, key) => ({
          ...boundSchema(definition, pascal(key)),
          title: pascal(key) + (sections.includes(key) ? 'Section' : ''),
        })),
      };
      return compile(bound, name, { bannerComment: '', format: false, unreachableDefinitions: true });
    }),
  );
  return TYPES_HEAD + texts.join('\n');
}

/** The source code of a JSON string, which parses several times as fast as an object literal of this size. */
const asText = (value) => JSON.stringify(JSON.stringify(value));

function isFresh() {
  const time = (folder) => (name) => statSync(new URL(name, folder), { throwIfNoEntry: false })?.mtimeMs ?? 0;
  const newestInput = Math.max(...readdirSync(HERE).map(time(HERE)));
  return Math.min(...OUTPUTS.map(time(OUTPUT))) > newestInput;
}

/** Reads the schemas and returns the text of each generated file, by name. */
export async function generate() {
  const schemas = Object.fromEntries(FILE_KINDS.map((kind) => [kind, readJson(`${kind}.schema.json`)]));
  const expanded = mapValues(schemas, expandPartials);
  const constants = Object.entries(expanded).map(
    ([kind, schema]) => `export const ${kind}Schema: Schema = JSON.parse(${asText(schema)});\n`,
  );
  return {
    'schemas.ts': `type Schema = { readonly [key: string]: unknown };\n\n${constants.join('\n')}`,
    'validators.mjs': await validators(expanded),
    'validators.d.mts': VALIDATOR_TYPES,
    'configuration.ts': await configurationTypes(schemas),
  };
}

const isMain = process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href;
if (isMain && !isFresh()) {
  mkdirSync(fileURLToPath(OUTPUT), { recursive: true });
  for (const [name, text] of Object.entries(await generate())) writeFileSync(new URL(name, OUTPUT), text);
}
