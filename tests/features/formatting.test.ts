import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formattingOf } from '../../server/features/formatting.ts';
import { readSource } from '../../shared/source/source-file.ts';
import { plainValue } from '../../shared/source/tree.ts';
import { edited } from './marked.ts';

const read = (text: string) => ({ file: readSource('case.engine.yaml', text) });

function formatted(text: string): string {
  return edited(read(text), formattingOf(read(text)));
}

describe('formatting', () => {
  test('puts the cells of a map, and breakpoints that have a line to themselves, in columns', () => {
    expect(
      formatted(`fuel:
  filling:
    x:
      quantity: engine_speed
      breakpoints: [800, 1200, 10000]
    y: { quantity: manifold_pressure, breakpoints: [  30 ,100 ] }
    values:
      - [9,10,100.5] # light
      # between
      - [ 48.0, -5, 1e2 ]
`),
    ).toBe(`fuel:
  filling:
    x:
      quantity: engine_speed
      breakpoints: [ 800, 1200, 10000]
    y: { quantity: manifold_pressure, breakpoints: [  30 ,100 ] }
    values:
      - [   9,   10, 100.5] # light
      # between
      - [48.0,   -5,   1e2]
`);
  });

  test('leaves breakpoints within braces alone, and gives the rows their own columns', () => {
    expect(
      formatted(`advance:
  x: { quantity: engine_speed, breakpoints: [1000, 6000] }
  values:
    - [8, 17]
    - [10, 24,]
`),
    ).toBe(`advance:
  x: { quantity: engine_speed, breakpoints: [1000, 6000] }
  values:
    - [ 8, 17]
    - [10, 24,]
`);
  });

  test('takes blanks from the ends of lines, but not where they are part of a text', () => {
    expect(formatted('title: |\n  kept  \n  too \nengine:  \n  bore: 84 mm # x  \n')).toBe(
      'title: |\n  kept  \n  too \nengine:\n  bore: 84 mm # x\n',
    );
    const quoted = 'title: "first  \n  second" \n';
    expect(formatted(quoted)).toBe(quoted);
  });

  test('keeps the line ends of the file', () => {
    expect(formatted('a:\r\n  values:\r\n    - [1, 20]  \r\n    - [10, 2]\r\n')).toBe(
      'a:\r\n  values:\r\n    - [ 1, 20]\r\n    - [10,  2]\r\n',
    );
  });

  test.each([
    ['what cannot be read', 'a:\n  values:\n    - [1, 20\n    - [10, 2]\n  b: 1  \n'],
    ['rows of many lines', 'a:\n  values:\n    - [1,\n       20]\n    - [10, 2]\n'],
    ['rows with comments in them', 'a:\n  values:\n    - [1, # one\n      20]\n    - [10,2]\n'],
    ['rows on one line', 'a:\n  values: [[1, 20], [10, 2]]\n'],
    ['aliases and anchors', 'a:\n  values:\n    - [&one 1, 20]\n    - [10, *one]\n'],
    ['rows of rows', 'a:\n  values:\n    - [[1], 20]\n    - [10, 2]\n'],
    ['a curve', 'a:\n  x: { breakpoints: [8, 10] }\n  values: [2.60,1.8]\n'],
  ])('leaves %s as it stands', (_, text) => {
    expect(formatted(text)).toBe(text);
  });

  test('of a range changes its lines alone, to the width that the table has', () => {
    const text = 'a:\n  values:\n    - [1, 2]\n    - [1, 2]\n    - [100, 200]\n';
    const lines = { start: { line: 3, character: 0 }, end: { line: 3, character: 5 } };
    expect(edited(read(text), formattingOf(read(text), lines))).toBe(
      'a:\n  values:\n    - [1, 2]\n    - [  1,   2]\n    - [100, 200]\n',
    );
  });
});

/** Every sample, whole and broken, and the installation of the fixtures. */
const samples = ['samples/broken', 'samples/dotterel', 'samples/wheatear', 'tests/fixtures'].flatMap(
  (folder) => {
    const url = new URL(`../../${folder}/`, import.meta.url);
    return readdirSync(url)
      .filter((name) => name.endsWith('.yaml'))
      .map((name) => readFileSync(new URL(name, url), 'utf8'));
  },
);

/** A text with other insignificant blanks: around the commas of rows, and at line ends. */
const loosened = fc
  .tuple(fc.constantFrom(...samples), fc.infiniteStream(fc.constantFrom('', ' ', '   ')))
  .map(([text, blanks]) => {
    const blank = () => blanks.next().value as string;
    const spread = (list: string) =>
      list.replaceAll(/(?<=[[,]) *| *(?=[\],])/g, (gap, at: number) =>
        list[at - 1] === ' ' ? gap : blank(),
      );
    return text.replaceAll(/\[[-\d., ]+\]/g, spread).replaceAll(/(?<![ |>])$/gm, blank);
  });

describe('formatting of any text', () => {
  test('keeps what it says, every letter of it and all comments, and has nothing to do a second time', () => {
    expect(samples.length).toBeGreaterThan(30);
    fc.assert(
      fc.property(loosened, (text) => {
        const once = formatted(text);
        expect(plainValue(read(once).file.root)).toEqual(plainValue(read(text).file.root));
        expect(once.replaceAll(/[ \t]/g, '')).toBe(text.replaceAll(/[ \t]/g, ''));
        expect(once.split('\n').length).toBe(text.split('\n').length);
        expect(formatted(once)).toBe(once);
      }),
      { numRuns: 60 },
    );
  });

  test('makes the same of every layout', () => {
    const text = readFileSync(new URL('../fixtures/complete.engine.yaml', import.meta.url), 'utf8');
    const tight = text.replaceAll(/- \[[-\d., ]+\]/g, (row) => `- ${row.slice(2).replaceAll(' ', '')}  `);
    expect(tight).not.toBe(text);
    expect(formatted(tight)).toBe(formatted(text));
  });
});
