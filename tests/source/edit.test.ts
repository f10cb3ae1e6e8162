import { describe, expect, test } from 'vitest';
import { type Edit, insertEntry, type NewValue, removeEntry, renameKey } from '../../shared/source/edit.ts';
import { offsetsOf, readSource, type SourceFile } from '../../shared/source/source-file.ts';
import type { Entry, MappingNode } from '../../shared/source/tree.ts';

/** The text after the edits, at the current positions of their chunks. */
function applied(file: SourceFile, edits: readonly Edit[]): string {
  return edits
    .map(({ span, text }) => ({ ...offsetsOf(file, span), text }))
    .sort((a, b) => b.start - a.start)
    .reduce((text, edit) => text.slice(0, edit.start) + edit.text + text.slice(edit.end), file.text);
}

/** The mapping that contains the last step, and its entry. */
function at(file: SourceFile, ...steps: string[]): { mapping: MappingNode; entry: Entry } {
  let mapping = file.root;
  for (const step of steps.slice(0, -1)) mapping = mapping.get(step) as MappingNode;
  return { mapping, entry: mapping.entry(steps.at(-1)!)! };
}

const inserted = (text: string, path: string[], key: string, value: NewValue): string => {
  const file = readSource('/a', text);
  const { mapping, entry } = at(file, ...path);
  return applied(file, [insertEntry(mapping, key, value, entry)]);
};

const removed = (text: string, ...path: string[]): string => {
  const file = readSource('/a', text);
  const { mapping, entry } = at(file, ...path);
  return applied(file, removeEntry(file, mapping, entry));
};

/** More lines than a section may have without being split. */
const LONG = Array.from({ length: 30 }, (_, i) => `  key_${i}: ${i}\n`).join('');

describe('a new entry', () => {
  test('stands below the one before it, with its indentation', () => {
    const text = 'engine:\n    bore: 76 mm # as drawn\n    # below\n    cycle: two-stroke\n';
    expect(inserted(text, ['engine', 'bore'], 'stroke', { line: '71 mm' })).toBe(
      'engine:\n    bore: 76 mm # as drawn\n    stroke: 71 mm\n    # below\n    cycle: two-stroke\n',
    );
  });

  test('stands below the whole block of the one before it', () => {
    const text =
      'fuel:\n  dead_time:\n    values:\n      - [1, 2]\n      - [3, 4] # cold\n# air\nintake: {}\n';
    expect(inserted(text, ['fuel', 'dead_time'], 'grade', { line: 'e85' })).toBe(
      'fuel:\n  dead_time:\n    values:\n      - [1, 2]\n      - [3, 4] # cold\n  grade: e85\n# air\nintake: {}\n',
    );
  });

  test('stands below a section that was cut into chunks', () => {
    expect(inserted(`engine:\n${LONG}# end\nfuel: {}\n`, ['engine'], 'intake', { line: '{}' })).toBe(
      `engine:\n${LONG}intake: {}\n# end\nfuel: {}\n`,
    );
  });

  test('may be a block of lines', () => {
    const value = { line: '{ pressure: 3 bar }', block: ['pressure: 3 bar', 'regulator: fixed'] };
    expect(inserted('fuel:\n  grade: e85', ['fuel', 'grade'], 'rail', value)).toBe(
      'fuel:\n  grade: e85\n  rail:\n    pressure: 3 bar\n    regulator: fixed',
    );
    expect(inserted('fuel: { grade: e85 }', ['fuel', 'grade'], 'rail', value)).toBe(
      'fuel: { grade: e85, rail: { pressure: 3 bar } }',
    );
  });

  test('follows the brackets of its mapping, over several lines too', () => {
    expect(inserted('a: { b: 1, c: 2, }\n', ['a', 'c'], 'd', { line: '3' })).toBe(
      'a: { b: 1, c: 2, d: 3, }\n',
    );
    expect(inserted('a: {\n  b: 1,\n  c: 2\n}\n', ['a', 'c'], 'd', { line: '3' })).toBe(
      'a: {\n  b: 1,\n  c: 2,\n  d: 3\n}\n',
    );
  });

  test('stands behind an alias, an empty value and a quoted one', () => {
    expect(inserted('a: &x 1\nb: *x # one\n', ['b'], 'c', { line: '2' })).toBe(
      'a: &x 1\nb: *x # one\nc: 2\n',
    );
    expect(inserted('a: { b: &x 1, c: *x }\n', ['a', 'c'], 'd', { line: '2' })).toBe(
      'a: { b: &x 1, c: *x, d: 2 }\n',
    );
    expect(inserted('a:\n  b:\n  c: "#"\n', ['a', 'b'], 'd', { line: '2' })).toBe(
      'a:\n  b:\n  d: 2\n  c: "#"\n',
    );
  });

  test('keeps the line ends of the file', () => {
    expect(inserted('a:\r\n  b: 1\r\n', ['a', 'b'], 'c', { line: '2' })).toBe('a:\r\n  b: 1\r\n  c: 2\r\n');
  });

  test('may come first, below the head of the file, or be the only one', () => {
    const first = readSource('/a', '# head\ntitle: Plover\n');
    expect(applied(first, [insertEntry(first.root, 'enginefile', { line: '1' }, undefined)])).toBe(
      '# head\nenginefile: 1\ntitle: Plover\n',
    );
    const empty = readSource('/a', '# head');
    expect(applied(empty, [insertEntry(empty.root, 'enginefile', { line: '1' }, undefined)])).toBe(
      '# head\nenginefile: 1\n',
    );
    const brackets = readSource('/a', 'engine: {}\n');
    const { entry } = at(brackets, 'engine');
    expect(
      applied(brackets, [insertEntry(entry.value as MappingNode, 'bore', { line: '76 mm' }, undefined)]),
    ).toBe('engine: { bore: 76 mm }\n');
  });
});

describe('an entry that goes', () => {
  test('takes its value and the comment behind it along, and no comment line', () => {
    const text = 'engine:\n  # drawn\n  bore:\n    deep: 1 # one\n  # next\n  stroke: 71 mm\n';
    expect(removed(text, 'engine', 'bore')).toBe('engine:\n  # drawn\n  # next\n  stroke: 71 mm\n');
  });

  test('takes its comma along', () => {
    expect(removed('a: { b: 1, c: 2, d: 3 }', 'a', 'b')).toBe('a: { c: 2, d: 3 }');
    expect(removed('a: { b: 1, c: 2, d: 3 }', 'a', 'c')).toBe('a: { b: 1, d: 3 }');
    expect(removed('a: { b: 1, c: 2, d: 3 }', 'a', 'd')).toBe('a: { b: 1, c: 2 }');
    expect(removed('a: { b: 1 }', 'a', 'b')).toBe('a: {  }');
  });

  test('takes all chunks of its block along', () => {
    const text = `title: one\nengine: # whole\n${LONG}\n# the fuel\nfuel: {}\n`;
    expect(removed(text, 'engine')).toBe('title: one\n\n# the fuel\nfuel: {}\n');
  });

  test('leaves the value that its alias names', () => {
    expect(removed('a: &x 1\nb: *x\nc: 2\n', 'b')).toBe('a: &x 1\nc: 2\n');
  });
});

test('a renamed key keeps all that stands around it', () => {
  const file = readSource('/a', 'engine: { bor : 76 mm } # as drawn\n');
  expect(applied(file, [renameKey(at(file, 'engine', 'bor').entry, 'bore')])).toBe(
    'engine: { bore : 76 mm } # as drawn\n',
  );
});
