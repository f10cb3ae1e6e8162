import fc from 'fast-check';
import { expect, test } from 'vitest';
import { changeBetween, layoutAfter, layoutOf } from '../../shared/source/cut.ts';

const piece = fc.constantFrom(
  'a:',
  ' b: 1',
  '  - c',
  '# note',
  '\n',
  '\r\n',
  ' ',
  '\t',
  '"',
  'é',
  '\n\n',
  'x',
);
const text = fc.array(piece, { maxLength: 40 }).map((pieces) => pieces.join(''));

test('after any edit the lines are those of a text read anew', () => {
  fc.assert(
    fc.property(text, text, text, text, (head, old, written, tail) => {
      const [before, after] = [head + old + tail, head + written + tail];
      const change = changeBetween(before, after);
      expect(layoutAfter(after, layoutOf(before), change)).toEqual(layoutOf(after));
    }),
    { numRuns: 3000 },
  );
});

test('only whole lines that differ are read', () => {
  expect(changeBetween('a: 1\nb: 2\nc: 3\n', 'a: 1\nb: 25\nc: 3\n')).toEqual({ from: 5, to: 11, shift: 1 });
});
