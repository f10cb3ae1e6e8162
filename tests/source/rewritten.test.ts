import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { type Rewriting, readSource, rewritten } from '../../shared/source/source-file.ts';
import { RewrittenText, startOfLine, startOfNextLine } from '../../shared/source/text.ts';
import { shownForFile } from '../support/shown-for-file.ts';

const COMPLETE = readFileSync(new URL('../fixtures/complete.engine.yaml', import.meta.url), 'utf8');
const LINES = COMPLETE.split('\n').length;

const written = fc.oneof(
  fc.constantFrom('', '5', '\n', '\r\n', '\r', '\n  bore: 84 mm', 'engine:\n', '[', '# a\n', 'é°\ud800'),
  fc
    .tuple(fc.nat(COMPLETE.length), fc.nat(3000))
    .map(([start, length]) => COMPLETE.slice(start, start + length)),
);
/** Some are beyond the end of their line or of the text, and some ends are before their starts. */
const range = fc
  .tuple(
    fc.nat(LINES + 2),
    fc.nat(90),
    fc.oneof(fc.constant(0), fc.integer({ min: -2, max: 60 })),
    fc.nat(90),
  )
  .map(([line, character, more, last]) => ({
    start: { line, character },
    end: { line: Math.max(0, line + more), character: last },
  }));
const change: fc.Arbitrary<Rewriting> = fc.oneof(
  { weight: 9, arbitrary: fc.record({ range, text: written }) },
  { weight: 1, arbitrary: fc.record({ text: written }) },
);

describe('a file that is written into', () => {
  test('holds the text that the protocol of editors makes of it, and reads as that text read anew', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(COMPLETE, COMPLETE.replaceAll('\n', '\r\n')),
        fc.array(change, { minLength: 1, maxLength: 4 }),
        (text, changes) => {
          let file = readSource('/a', text);
          for (const one of changes) {
            // A new file each time, because an edit after the last line invalidates the reused table of lines.
            const document = TextDocument.create('file:///a', 'yaml', 0, file.text);
            TextDocument.update(document, [one as never], 1);
            const anew = readSource('/a', document.getText());
            file = rewritten(file, one);
            expect(file.text).toBe(anew.text);
            expect(shownForFile(file)).toEqual(shownForFile(anew));
            expect(file.lines.starts).toEqual(anew.lines.starts);
            expect(file.layout).toEqual(anew.layout);
          }
        },
      ),
      { numRuns: 150 },
    );
  });

  test('is refused and read again as a text that was given whole', () => {
    const zero = { range: { start: { line: 1, character: 0 }, end: { line: 1, character: 0 } }, text: '\0' };
    const refused = rewritten(readSource('/a', '# a\nb: 1\n'), zero);
    expect(shownForFile(refused)).toEqual(shownForFile(readSource('/a', '# a\n\0b: 1\n')));
    const gone = { range: { start: { line: 1, character: 0 }, end: { line: 1, character: 1 } }, text: '' };
    expect(shownForFile(rewritten(refused, gone))).toEqual(shownForFile(readSource('/a', '# a\nb: 1\n')));
  });

  test('may have lines of any length', () => {
    const long = `a: ${'1'.repeat(5000)}\nb: 2\n`;
    expect([startOfLine(long, 4000), startOfNextLine(long, 20)]).toEqual([0, 5004]);
    expect([startOfLine(long, long.length), startOfNextLine(long, 5004)]).toEqual([long.length, long.length]);
  });

  test('tells any stretch of its text without putting it together', () => {
    fc.assert(
      fc.property(
        fc.string(),
        fc.string(),
        fc.nat(20),
        fc.nat(20),
        fc.nat(30),
        fc.nat(30),
        (text, more, a, b, c, d) => {
          const [start, end] = [Math.min(a, b, text.length), Math.min(Math.max(a, b), text.length)];
          const whole = text.slice(0, start) + more + text.slice(end);
          const one = new RewrittenText(text, start, end, more);
          expect(String(one)).toBe(whole);
          expect(one.length).toBe(whole.length);
          expect(one.slice(Math.min(c, d), Math.max(c, d))).toBe(whole.slice(Math.min(c, d), Math.max(c, d)));
        },
      ),
    );
  });
});
