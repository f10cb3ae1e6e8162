import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  crop,
  displayWidth,
  hang,
  OPERATORS,
  padEnd,
  printable,
  visible,
  wrap,
} from '../../server/formats/layout.ts';

describe('display width', () => {
  test.each([
    ['T₂ = 353 K', 10],
    ['cafe\u0301', 4], // a combining accent
    ['圧力', 4],
    ['\u200dx', 1],
  ])('%j fills %d columns', (text, width) => expect(displayWidth(text)).toBe(width));

  test('padding counts columns, not characters', () => {
    expect(padEnd('圧', 4)).toBe('圧  ');
  });
});

describe('wrapping', () => {
  test('words go to the next line where they do not fit, and the lines hang under the first', () => {
    expect(hang('fix: ', 'write the pressure with its reference', 28)).toBe(
      'fix: write the pressure with\n     its reference',
    );
  });

  test('a formula breaks before an operator only, so a number keeps its unit', () => {
    expect(wrap('340 cc/min · √(3 bar / 3 bar) · 2 = 680 cc/min', 20, OPERATORS)).toEqual([
      '340 cc/min · √(3 bar',
      '/ 3 bar) · 2',
      '= 680 cc/min',
    ]);
  });

  test('no word is lost, and no line is longer than it may be', () => {
    fc.assert(
      fc.property(
        fc.array(fc.stringMatching(/^[a-zé漢]{1,9}$/u)),
        fc.integer({ min: 20, max: 60 }),
        (words, width) => {
          const lines = wrap(words.join(' '), width);
          expect(lines.join(' ')).toBe(words.join(' '));
          for (const line of lines) expect(displayWidth(line)).toBeLessThanOrEqual(width);
        },
      ),
    );
  });
});

test('of a line as long as a file only the part around the stretch is read', () => {
  const line = '123456789 '.repeat(100_000);
  const before = process.cpuUsage().user;
  for (let start = 0; start < line.length; start += 50) {
    const { text, before, marked } = crop(line, start, start + 9, 80);
    expect(text.slice(before, before + marked)).toBe('123456789');
    expect([text.startsWith('…'), text.endsWith('…')]).toEqual([start > 0, true]);
    expect(displayWidth(text)).toBeLessThanOrEqual(80);
    if (start === 5000) start = line.length - 5000;
  }
  for (let i = 0; i < 10_000; i++) crop(line, 500_000, 500_009, 80);
  expect((process.cpuUsage().user - before) / 1e6).toBeLessThan(15);
});

test('no line begins with what a build server would take for a command', () => {
  expect(printable('  ::stop-commands::x')).toBe('  \ufffd:stop-commands::x');
  expect(printable('oil::hot')).toBe('oil::hot');
  for (let width = 20; width < 60; width++) {
    expect(hang('  ', 'the name of it is ::warning::oil ::error::x', width)).not.toMatch(/^\s*::/m);
  }
});

test('no text contains what a build server would take for a command anywhere in a line', () => {
  expect(printable('oil ##[command]x ###[group]y ## [z]')).toBe(
    'oil #\ufffd[command]x ##\ufffd[group]y ## [z]',
  );
  expect(visible('##[error]')).toBe('#\ufffd[error]');
  const line = 'title: a ##[error]b';
  for (let start = 0; start < line.length; start++) {
    for (let end = start; end <= line.length; end++) {
      const { text, before } = crop(line, start, end, 40);
      expect({ text, before }).toEqual({ text: 'title: a #\ufffd[error]b', before: start });
    }
  }
});

describe('cropping', () => {
  test('a line that fits is shown whole', () => {
    expect(crop('  bore: 76 mm', 8, 13, 40)).toEqual({ text: '  bore: 76 mm', before: 8, marked: 5 });
  });

  test('of a long line the part around the stretch is shown', () => {
    const line = `values: [${Array.from({ length: 60 }, (_, i) => i + 100).join(', ')}]`;
    const start = line.indexOf('130');
    const { text, before, marked } = crop(line, start, start + 3, 40);
    expect(text).toMatch(/^….*130.*…$/);
    expect(text.slice(before, before + marked)).toBe('130');
    expect(displayWidth(text)).toBeLessThanOrEqual(40);
  });

  test('a stretch longer than the line is cut at its end', () => {
    expect(crop(`x: [${'1, '.repeat(20)}1]`, 3, 65, 20)).toEqual({
      text: '…[1, 1, 1, 1, 1, 1,…',
      before: 1,
      marked: 18,
    });
  });

  test('the carets stand under the stretch behind wide characters', () => {
    expect(crop('圧力: 3', 4, 5, 40)).toEqual({ text: '圧力: 3', before: 6, marked: 1 });
  });

  test('an empty stretch gets one caret', () => {
    expect(crop('bore:', 5, 5, 40)).toEqual({ text: 'bore:', before: 5, marked: 1 });
  });

  test('whatever the line, the result fits and the marks stay inside it', () => {
    const line = fc.string({ unit: 'grapheme', maxLength: 200 });
    fc.assert(
      fc.property(line, fc.nat(200), fc.nat(200), (text, a, b) => {
        const [start, end] = [Math.min(a, b, text.length), Math.min(Math.max(a, b), text.length)];
        const cropped = crop(text, start, end, 50);
        expect(displayWidth(cropped.text)).toBeLessThanOrEqual(50);
        expect(cropped.before + cropped.marked).toBeLessThanOrEqual(51);
      }),
    );
  });
});

test('what a file holds cannot move the cursor, paint, or turn the reading direction', () => {
  expect(printable('76\tmm\x1b[31m\u202e \x9b5m')).toBe('76 mm\ufffd[31m\ufffd \ufffd5m');
});
