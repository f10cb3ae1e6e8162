import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseByLibrary, parseChunk } from '../../shared/source/parse.ts';
import { readPlain } from '../../shared/source/plain.ts';
import { readSource } from '../../shared/source/source-file.ts';
import { type Chunk, MAX_NODES, type Node, pathOf, pathText } from '../../shared/source/tree.ts';
import { times } from '../support/large.ts';
import { sampleNames, sampleText } from '../support/samples.ts';

/** The pieces of every sample, as the program parses them. */
const pieces = sampleNames.map((name) => {
  const { chunks } = readSource(name, sampleText(name));
  return { name, bodies: [...chunks.keys()].map(({ text }) => text) };
});

describe('the reader of plain text', () => {
  test.each(pieces)('reads $name as the YAML library does', ({ bodies }) => {
    for (const body of bodies) expect(told(parseChunk('/a', body, []))).toEqual(told(byLibrary(body)));
  });

  test('reads nearly every line of the samples, or opening a file takes ten times as long', () => {
    const all = pieces.flatMap(({ bodies }) => bodies);
    const left = all.filter((body) => !isPlain(body));
    expect(lengthOf(left) / lengthOf(all)).toBeLessThan(0.03);
  });

  test('reads quoted keys, quantities as keys, lists of mappings and brackets over several lines', () => {
    const text = `"egt[1]": { -20 °C: 1.5 kohm, 0x1F: .5 }   # a table
list:
    - name: 'one: two'
      empty:

    - [1, 2, # the first two
       three words, null]
    - word
below:
  [ ]\r
`;
    expect(isPlain(text)).toBe(true);
    expect(told(parseChunk('/a', text, []))).toEqual(told(byLibrary(text)));
  });

  test.each([
    ['an anchor', 'a: &name 1\n'],
    ['an alias', 'a: *name\n'],
    ['a tag', 'a: !!str 1\n'],
    ['a folded text', 'a: >\n  b\n'],
    ['words on two lines', 'a: b\n  c\n'],
    ['an escape', 'a: "b\\n"\n'],
    ['a doubled quote', "a: 'b''c'\n"],
    ['a key that stands twice', 'a: 1\na: 2\n'],
    ['a key within a value', 'a: b: c\n'],
    ['a tab', 'a:\t1\n'],
    ['a bracket that stays open', 'a: [1, 2\n'],
    ['brackets forty deep', `a: ${'['.repeat(40)}${']'.repeat(40)}\n`],
    ['a key longer than YAML allows', `${'k'.repeat(1100)}: 1\n`],
    ['a bracket closed too far left', 'a: [\n  1\n]\n'],
    ['a comma too many', 'a: [1,, 2]\n'],
    ['a block that steps out halfway', 'a:\n    b: 1\n  c: 2\n'],
    ['a list as far left as its key', 'a:\n- 1\n'],
    ['the start of a document', '---\na: 1\n'],
    ['the end of a document', 'a:\n...  b: 1\n'],
    ['a character that is none', 'a: \u0085\n'],
  ])('leaves %s to the library', (_, text) => {
    expect(isPlain(text)).toBe(false);
  });

  test('reads as many values as the library lets a text have, and leaves longer ones to it', () => {
    const isRead = (text: string): boolean =>
      readPlain({ ...parseChunk('/a', '', []), text, parsedText: text }) !== undefined;
    // Mapping, key and list count too.
    const list = (values: number): string => `a: [${'9,'.repeat(values)}]\n`;
    expect(isRead(list(MAX_NODES - 3))).toBe(true);
    expect(byLibrary(list(MAX_NODES - 3)).faults).toEqual([]);
    expect(isRead(list(MAX_NODES - 2))).toBe(false);
    // In braces each value has a key.
    const pairs = (count: number): string => `a: { ${times(count, (i) => `${i}: 9, `)} }\n`;
    expect(isRead(pairs(MAX_NODES / 2 - 2))).toBe(true);
    expect(isRead(pairs(MAX_NODES / 2 - 1))).toBe(false);
  }, 240_000);

  test('never differs from the library in what it does read, whatever was written into a sample', () => {
    const bodies = pieces.flatMap(({ bodies }) => bodies).filter(({ length }) => length < 600);
    const splice = fc.record({
      at: fc.nat(600),
      length: fc.oneof(fc.constant(0), fc.nat(4)),
      written: fc.oneof(fc.constantFrom(...MARKS), fc.string({ maxLength: 3 })),
    });
    let read = 0;
    fc.assert(
      fc.property(
        fc.constantFrom(...bodies),
        fc.array(splice, { minLength: 1, maxLength: 3 }),
        (body, edits) => {
          const text = edits.reduce(
            (before, { at, length, written }) => before.slice(0, at) + written + before.slice(at + length),
            body,
          );
          if (!isPlain(text)) return;
          read++;
          expect(told(parseChunk('/a', text, []))).toEqual(told(byLibrary(text)));
        },
      ),
      { numRuns: 2000 },
    );
    expect(read).toBeGreaterThan(200);
  });
});

/** What may be between words in YAML or through a typing error. */
const MARKS = [
  ...[
    ' ',
    '  ',
    '\n',
    '\n\n',
    '\n  ',
    '\n    ',
    '\r\n',
    '\t',
    '\r',
    ' #',
    '# a',
    ':',
    ': ',
    ':\n',
    ' - ',
    '\n- ',
  ],
  ...[
    '[',
    ']',
    '{',
    '}',
    ',',
    '"',
    "'",
    '""',
    '&a',
    '*a',
    '!',
    '|',
    '>',
    '%',
    '@',
    '`',
    '? ',
    '...',
    '\n---\n',
  ],
  ...[
    '0x1F',
    '0o17',
    '1e3',
    '-.5',
    '+1',
    '.inf',
    '.nan',
    'true',
    'null',
    '~',
    '12345678901234567890',
    'a: 1',
  ],
  ...['<<: ', '\\', '\0', '\u0085', '\u00a0', '\ufeff', '\ud800', '°', '='],
];

const byLibrary = (text: string): Chunk => parseByLibrary('/a', text, []);
const isPlain = (text: string): boolean => readPlain(parseChunk('/a', text, [])) !== undefined;
const lengthOf = (texts: readonly string[]): number => texts.reduce((sum, { length }) => sum + length, 0);

/** Everything about a chunk: each node with its position and value, line by line, and the faults. */
function told({ root, faults }: Chunk): string[] {
  return [...lines(root), ...faults.map(({ start, end, message }) => `${start}-${end} ${message}`)];
}

function lines(node: Node): string[] {
  const place = `${pathText(pathOf(node))} ${node.start}-${node.end} ${node.type}`;
  if (node.type === 'scalar') {
    // `-0` and the text `1` must not count as `0` and the number 1.
    const value = Object.is(node.value, -0) ? '-0' : `${typeof node.value} ${node.value}`;
    return [`${place} ${value} ${node.style} ${node.text}`];
  }
  const children =
    node.type === 'mapping' ? node.entries.flatMap(({ key, value }) => [key, value]) : node.items;
  return [`${place} ${node.flow}`, ...children.flatMap(lines)];
}
