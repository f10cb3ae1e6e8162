import { expect, test } from 'vitest';
import { allChecks } from '../../shared/checks/registry.ts';
import { commentTexts, fixTexts, messageTexts, pageTexts, productTexts, type Text } from './texts.mjs';

/** Phrases that no engineer writes, each with an example and what to write instead. */
const PHRASES: readonly [pattern: RegExp, example: string, instead: string][] = [
  [
    /\b(cylinder|cycle|second|minute|hour|turn) an? (cylinder|cycle|turn|second|minute|hour)\b/,
    'fuel a second a cylinder',
    'per',
  ],
  [
    /\b(mass|flow|air|fuel|pulse|torque|one|time|times) an? (cylinder|cycle|turn|second|minute|hour|line|file)\b/,
    'air mass a cylinder',
    'per',
  ],
  [/\bwhich there (is|are) not\b/, 'names cylinder 5, which there is not', 'does not exist'],
  [
    /(?<!\b[Tt]here )\b(is|are) no (?!longer\b|better\b|worse\b|more\b|less\b|later\b|earlier\b|lower\b|higher\b)[a-z]+/,
    '`x` is no number',
    'is not a …',
  ],
  [/\b(speaks?|spoken|tells?|told) (of|about)\b/, 'the line that it speaks of', 'name the thing'],
  [/\btells (?!\w+ apart)/, 'a sensor that tells the position', 'shows, reports, measures, states'],
  [/\bcom(es|ing) to(?! rest)\b/, 'what a point comes to', 'is, gives, results in'],
  [/\bask(s|ed)? for\b/, 'the point asks for 140 kPa', 'requests, needs, sets'],
  [/\bunasked\b/, '(unasked: text)', 'default: text'],
  [/\bmend(s|ed|ing)?\b/, 'is to be mended', 'fix'],
  [/\bhardly\b/, 'a wheel that is hardly so', 'unlikely'],
  [/\bbears\b/, 'hotter than the thermocouple bears', 'is rated for'],
  [/\bthe (least|most) (is|that)\b/, 'the least is 10 ohm', 'minimum, maximum'],
  [
    /\b(stands?|stood) (beside|at|in|on|where|twice|above|after|out|under|behind|there)\b/,
    'a key stands twice',
    'is, is written, appears',
  ],
  [/\bgoes (over|with|against|from)\b/, 'a table goes against the trend', 'depends on, falls, runs'],
  [/\blooks? (at|into)\b/, 'a check looks at the range', 'checks, reads'],
  [/\bwants\b/, 'YAML wants spaces', 'needs, requires'],
  [/\b(whence|whither|thereof|therein|wherein|hitherto|anew)\b/, 'write it anew', 'plain words'],
  [/\bnothing (real|nearer|left over)\b/, 'a value that nothing real can have', 'say what is impossible'],
  [/\bno proof\b/, 'it is no proof that', 'does not prove'],
  [/\b(is|are) worth nothing\b/, 'a count is worth nothing', 'has no effect'],
  [/\bof (another|other) kind\b/, 'a unit of another kind', 'wrong'],
  [/\bthe talk\b/, 'the talk between the editor and the server', 'messages'],
];

const product = [...productTexts(), ...messageTexts(), ...fixTexts(), ...pageTexts()];

test('texts are found in every place that they are written in', () => {
  const places = product.map(({ where }) => where.split(/[/.#:]/)[0]);
  expect(new Set(places)).toEqual(
    new Set([
      'shared',
      'server',
      'client',
      'schemas',
      'package',
      'tests',
      'README',
      'DEVELOPERS',
      'docs',
      'samples',
    ]),
  );
  expect(commentTexts().length).toBeGreaterThan(1000);
});

test.each(PHRASES)('no text says %s', (pattern, example) => {
  expect(example).toMatch(pattern);
  expect(listed(product.filter(({ text }) => pattern.test(withoutCode(text))))).toEqual([]);
});

const withoutCode = (text: string): string => text.replace(/`[^`]*`/g, '`…`');

const listed = (texts: readonly Text[]): string[] => texts.map(({ where, text }) => `${where} ${text}`);

test('a title of a check is the fault in a few words', () => {
  const wrong = allChecks.flatMap(({ id, title }) => {
    const words = title.split(' ').length;
    return words >= 2 && words <= 7 && /^[A-Z]/.test(title) && !/[.:;]$/.test(title)
      ? []
      : [`${id}: ${title}`];
  });
  expect(wrong).toEqual([]);
});

test('a message begins with a capital, a number or a name, and ends with a full stop', () => {
  const messages = messageTexts().filter(({ text }) => !text.includes('…'));
  const wrong = messages.filter(({ text }) => !/^[\p{Lu}\d`+−-].*\.$/u.test(text));
  expect(listed(wrong)).toEqual([]);
});

test('names are printed as the file writes them, as code', () => {
  const bare = [...messageTexts(), ...fixTexts()].filter(({ text }) =>
    /\b[a-z]+_[a-z_]*[a-z]\b/.test(withoutCode(text)),
  );
  expect(listed(bare)).toEqual([]);
});
