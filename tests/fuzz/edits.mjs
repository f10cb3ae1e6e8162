// The random edits of the fuzzer. Each replaces a range of the text.

/** @typedef {{ start: number, end: number, text: string }} Edit in UTF-16 units */

const WORDS = [
  ...['', ' ', '  ', '\n', '\r\n', '\r', '\t', '\n\t', '\u00a0', '\u2028', '\ufeff', '\0'],
  ...[
    ':',
    ': ',
    '- ',
    '? ',
    '[',
    ']',
    '{',
    '}',
    ',',
    '#',
    ' # ',
    '"',
    "'",
    '|',
    '>',
    '|+\n',
    '>-\n',
    '%',
    '@',
    '`',
  ],
  ...[
    '&a ',
    '*a',
    '&a *a',
    '<<: *a',
    '!!str ',
    '!!binary ',
    '!x',
    '---\n',
    '...\n',
    '%YAML 1.1\n',
    '~',
    'null',
    'yes',
    '…',
  ],
  // Half a surrogate pair, which an editor may send if it splits one.
  ...['\ud800', '\udc00', '\ud83d\ude00', 'é', 'е', '\u202e', '°', 'µ', 'Ω'],
  ...[
    '0',
    '-0',
    '9',
    '1e999',
    '-1e999',
    '9'.repeat(400),
    '0.'.concat('0'.repeat(300), '1'),
    '0x1F',
    '0o17',
    '.inf',
    '.nan',
  ],
  ...[
    'NaN',
    'Infinity',
    '1_000',
    '12e03',
    '+.5',
    '5.',
    '1..2',
    '..',
    '0..0 V',
    '9..1 V',
    '5 kPa',
    '5 psi gauge',
    '-300 °C',
  ],
  ...[
    '__proto__: 1\n',
    'constructor: {}\n',
    'toString',
    'hasOwnProperty: 1\n',
    '../../etc',
    'based_on: ./case.engine.yaml\n',
  ],
  ...['# accept injector-duty-over-100: why\n', '# accept : \n', '# accept syntax-error: no\n'],
  ...['['.repeat(80), '{a: '.repeat(40), '- '.repeat(70), 'a: &b [*b]\n', 'x'.repeat(5000), ' '.repeat(300)],
  'a: &a [x, x]\nb: &b [*a, *a, *a, *a]\nc: &c [*b, *b, *b, *b]\nd: [*c, *c, *c, *c]\n',
];

const ways = [
  /** Inserts a word anywhere. */
  ({ at, random }) => ({ start: at, end: at, text: random.pick(WORDS) }),
  /** Replaces a few letters by a word. */
  ({ text, at, random }) => ({
    start: at,
    end: Math.min(text.length, at + random.below(12)),
    text: random.pick(WORDS),
  }),
  /** Replaces a number by another number or a word. */
  ({ text, at, random }) => {
    const number = /-?\d+(?:\.\d+)?/g;
    number.lastIndex = at;
    const found = number.exec(text);
    const other = String(random.pick([0, -1, 1, 7, 99, 1e6, 1e-9, random.below(10_000) / 10]));
    const start = found?.index ?? at;
    return {
      start,
      end: start + (found?.[0].length ?? 0),
      text: random.pick([other, other, random.pick(WORDS)]),
    };
  },
  /** Duplicates a line, deletes it or changes its indentation. */
  ({ text, at, random }) => {
    const start = text.lastIndexOf('\n', at - 1) + 1;
    const end = text.indexOf('\n', at) < 0 ? text.length : text.indexOf('\n', at) + 1;
    const line = text.slice(start, end);
    return {
      start,
      end,
      text: random.pick([line + line, '', ` ${line}`, `  ${line}`, line.replace(/^ {1,2}/, '')]),
    };
  },
  /** Inserts a copy of text from elsewhere in the file. */
  ({ text, at, random }) => {
    const from = random.below(text.length + 1);
    return { start: at, end: at, text: text.slice(from, from + random.below(300)) };
  },
  /** Deletes a range. */
  ({ text, at, random }) => ({ start: at, end: Math.min(text.length, at + random.below(400)), text: '' }),
  /** Cuts off the rest of the file, as if it were half written. */
  ({ text, at, random }) =>
    random.below(4) === 0 ? { start: at, end: text.length, text: '' } : { start: at, end: at + 1, text: '' },
  /** Changes all line ends. */
  ({ text, random }) =>
    random.below(6) === 0
      ? { start: 0, end: text.length, text: text.replaceAll(/\r?\n/g, random.pick(['\r\n', '\n'])) }
      : { start: 0, end: 0, text: '\n' },
];

/** @returns {Edit} */
export function randomEdit(text, random) {
  const edit = random.pick(ways)({ text, at: random.below(text.length + 1), random });
  const isInside = (at) => text[at - 1] === '\r' && text[at] === '\n';
  // LSP has no positions inside a line end.
  const start = edit.start - (isInside(edit.start) ? 1 : 0);
  const end = Math.min(edit.end, text.length);
  return { ...edit, start, end: end + (isInside(end) ? 1 : 0) };
}
