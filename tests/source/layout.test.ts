import fc from 'fast-check';
import { expect, test } from 'vitest';
import { changeBetween } from '../../shared/source/change.ts';
import { layoutAfter, layoutOf } from '../../shared/source/cut.ts';
import { LineIndex } from '../../shared/source/lines.ts';
import { readSource } from '../../shared/source/source-file.ts';

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
      const lines = new LineIndex(before);
      // A table of lines is updated only if it has been built.
      expect(lines.position(0)).toEqual({ line: 0, character: 0 });
      expect(lines.after(after, change).starts).toEqual(new LineIndex(after).starts);
    }),
    { numRuns: 3000 },
  );
});

test('only whole lines that differ are read', () => {
  expect(changeBetween('a: 1\nb: 2\nc: 3\n', 'a: 1\nb: 25\nc: 3\n')).toEqual({ from: 5, to: 11, shift: 1 });
});

test('a text that follows upon a refused one is read as if it were the first', () => {
  const refused = readSource('/a.engine.yaml', '# a\nb: 1\nc: \0\n');
  const text = '# a\nb: 1\nc: 2\n';
  const after = readSource('/a.engine.yaml', text, refused);
  const anew = readSource('/a.engine.yaml', text);
  const cuts = ({ chunks }: typeof anew) => [...chunks].map(([chunk, start]) => [start, chunk.text]);
  expect(cuts(after)).toEqual(cuts(anew));
});
