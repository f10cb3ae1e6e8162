import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { analyse } from '../../shared/analysis.ts';
import { families } from '../../shared/checks/registry.ts';
import { createProject, fileKind } from '../../shared/configuration/project.ts';
import { lost, type Schema } from './lost.ts';

// What a version could read, every later version of the same format reads. Each folder here contains files and schemas of an
// earlier version, as they were.
const HERE = fileURLToPath(new URL('./', import.meta.url));
const VERSIONS = readdirSync(HERE).filter((name) => /^\d+\.\d+$/.test(name));
const KINDS = ['engine', 'controller'] as const;

const read = (path: string) => readFileSync(path, 'utf8');
const schema = (path: string): Schema => JSON.parse(read(path));
const form = new Set(families.find(({ id }) => id === 'form')!.checks.map(({ id }) => id));

test('there are files of earlier versions', () => {
  expect(VERSIONS).toContain('0.1');
});

/** The messages of the errors of form in a file. */
function errorsOfForm(path: string, text = read(path)): string[] {
  const project = createProject((one) => (one === path ? text : read(one)));
  const { findings } = analyse(project, path)!;
  return findings
    .filter(({ rule, severity }) => severity === 'error' && form.has(rule))
    .map(({ message }) => message);
}

describe.each(VERSIONS)('version %s', (version) => {
  const files = readdirSync(`${HERE}${version}`, { recursive: true, encoding: 'utf8' })
    .map((name) => name.replaceAll('\\', '/'))
    .filter(fileKind);

  test.each(files)('%s is still read without an error of form', (name) => {
    const path = `${HERE}${version}/${name}`.replaceAll('\\', '/');
    expect(errorsOfForm(path)).toEqual([]);
    expect(errorsOfForm(path, `${read(path)}\nunknown: 1\n`)).toEqual([expect.stringContaining('unknown')]);
  });

  test.each(KINDS)('every key, word and range of its %s files is still allowed', (kind) => {
    const earlier = schema(`${HERE}${version}/${kind}.schema.json`);
    expect(lost(earlier, schema(`${HERE}../../schemas/${kind}.schema.json`))).toEqual([]);
  });
});

describe('a change of the schema that loses something is found', () => {
  const base: Schema = {
    type: 'object',
    required: ['a'],
    additionalProperties: false,
    properties: {
      a: { type: ['string', 'number'], enum: ['x', 'y'], quantity: 'length' },
      b: { $ref: '#/$defs/list' },
      c: { type: 'object', additionalProperties: { type: 'integer', minimum: 1, maximum: 9 } },
    },
    $defs: { list: { type: 'array', items: { type: 'number' } } },
  };
  const changed = (change: (copy: Schema) => void): string[] => {
    const copy = structuredClone(base);
    change(copy);
    return lost(base, copy);
  };
  const key = ({ properties }: Schema, name: string) => properties![name] as Record<string, unknown>;

  test.each<[string, (copy: Schema) => void, string]>([
    ['a key', (copy) => delete (copy.properties as Record<string, unknown>).c, 'c: the key'],
    ['a type', (copy) => Object.assign(key(copy, 'a'), { type: 'string' }), 'a: type number'],
    ['a word', (copy) => Object.assign(key(copy, 'a'), { enum: ['x'] }), 'a: enum y'],
    ['the kind', (copy) => Object.assign(key(copy, 'a'), { quantity: 'mass' }), 'a: quantity'],
    ['an optional key', (copy) => Object.assign(copy, { required: ['a', 'b'] }), 'required b'],
    [
      'a type of items',
      (copy) => Object.assign(copy.$defs!.list!.items!, { type: 'integer' }),
      'b[]: type number',
    ],
    ['names', (copy) => Object.assign(key(copy, 'c'), { additionalProperties: false }), 'c: other keys'],
    [
      'numbers',
      (copy) => Object.assign(key(copy, 'c').additionalProperties as object, { maximum: 8 }),
      'c.*: maximum',
    ],
  ])('%s', (_, change, expected) => {
    expect(changed(change)).toEqual([expected]);
  });

  test('one that adds something loses nothing', () => {
    const wider = changed((copy) => {
      Object.assign(copy.properties!, { d: { type: 'string' } });
      Object.assign(key(copy, 'a'), { enum: ['x', 'y', 'z'] });
      Object.assign(copy, { required: [] });
    });
    expect(wider).toEqual([]);
  });
});
