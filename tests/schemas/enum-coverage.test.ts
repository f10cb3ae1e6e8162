import { readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { analyse } from '../../shared/analysis.ts';
import { form } from '../../shared/checks/form.ts';
import { createProject, type FileKind, fileKind } from '../../shared/configuration/project.ts';
import { rootShape } from '../../shared/configuration/schemas.ts';
import type { Shape } from '../../shared/configuration/shape.ts';
import { readSource } from '../../shared/source/source-file.ts';
import { type Node, plainValue } from '../../shared/source/tree.ts';
import { fixtureNames, readFixture } from '../support/fixture.ts';

const PROJECT = new URL('../../', import.meta.url);

/**
 * The words in the overrides of a map set or the standby controller are the same as in the file itself, those in a list of
 * checksums as in a single one.
 */
const placed = (at: string): string =>
  at
    .replace(/\.(?:map_sets\.sets\.\*|standby)\.apply/, '')
    .replace('.storage.checksum.*', '.storage.checksum');

/**
 * Every choice that a schema allows at some place, such as `fuel.rail.regulator: fixed`; `*` is a name chosen by the
 * author.
 */
function* wordsOf(shape: Shape, at: string): Generator<string> {
  if (shape.primitive === 'string') for (const word of shape.choices ?? []) yield `${placed(at)}: ${word}`;
  for (const [key, below] of shape.properties) yield* wordsOf(below, `${at}.${key}`);
  for (const below of [shape.others, shape.items]) if (below) yield* wordsOf(below, `${at}.*`);
}

/** The choices of the schema that a text uses, in the form of `wordsOf`. */
function* wordsIn(node: Node | undefined, shape: Shape | undefined, at: string): Generator<string> {
  if (!node || !shape) return;
  if (node.type === 'mapping') {
    for (const { key, value } of node.entries) {
      const known = shape.properties.get(key.text);
      yield* wordsIn(value, known ?? shape.others, `${at}.${known ? key.text : '*'}`);
    }
  } else if (node.type === 'sequence') {
    for (const item of node.items) yield* wordsIn(item, shape.items, `${at}.*`);
  } else if (shape.choices) yield `${placed(at)}: ${plainValue(node)}`;
}

/** The texts of all samples and fixtures, including the cases in the checks' fixtures. */
function* texts(): Generator<[path: string, text: string]> {
  for (const folder of ['samples/', 'tests/fixtures/']) {
    for (const name of readdirSync(new URL(folder, PROJECT), { recursive: true, encoding: 'utf8' })) {
      const path = `${folder}${name.replaceAll('\\', '/')}`;
      if (fileKind(path)) yield [path, readFileSync(new URL(path, PROJECT), 'utf8')];
    }
  }
  for (const name of fixtureNames('checks')) {
    for (const { files } of readFixture(`checks/${name}`)) yield* files;
  }
}

const used = new Set<string>();
for (const [path, text] of texts()) {
  const kind = fileKind(path);
  if (kind) for (const word of wordsIn(readSource(path, text).root, rootShape(kind), kind)) used.add(word);
}

test.each<FileKind>(['engine', 'controller'])(
  'a sample or a fixture uses each word of an %s file',
  (kind) => {
    const words = [...new Set(wordsOf(rootShape(kind), kind))];
    expect(words).toContain(
      kind === 'engine' ? 'engine.sensors.*.kind: rtd' : 'controller.pins.*.role: ground',
    );
    expect(words.filter((word) => !used.has(word))).toEqual([]);
  },
);

// What the samples do not use is in two further files, which must be readable like any other.
test.each<FileKind>(['engine', 'controller'])('the %s file of the other words is well formed', (kind) => {
  const project = createProject((path) => readFileSync(new URL(path), 'utf8'));
  const file = new URL(`tests/fixtures/every-word.${kind}.yaml`, PROJECT).href;
  const { findings } = analyse(project, file)!;
  const ofForm = new Set(form.checks.map(({ id }) => id));
  const wrong = findings.filter(({ rule, severity }) => ofForm.has(rule) && severity !== 'information');
  expect(wrong.map(({ rule, message }) => `${rule}: ${message}`)).toEqual([]);
});

test('a word that no text uses is missed', () => {
  const text = 'ignition: { system: inductive }';
  const root = readSource('one.engine.yaml', text).root;
  expect([...wordsIn(root, rootShape('engine'), 'engine')]).toEqual(['engine.ignition.system: inductive']);
});
