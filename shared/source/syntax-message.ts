/** What the parser's error codes mean for somebody who writes a configuration. */
const messages: Readonly<Record<string, string>> = {
  ALIAS_PROPS: 'An alias stands alone; it takes no anchor and no tag.',
  BAD_ALIAS: 'An alias names an anchor: `*name`.',
  BAD_DIRECTIVE: 'Lines that begin with `%` have no meaning here.',
  BAD_DQ_ESCAPE: 'Within double quotes a backslash begins an escape; write `\\\\` or use single quotes.',
  BAD_INDENT: 'This line is not indented as its neighbours are, or a bracket above it is not closed.',
  BAD_SCALAR_START: 'A value cannot begin with this sign; put it in quotes.',
  BLOCK_AS_IMPLICIT_KEY: 'A second `key:` stands on this line, or the line below is indented too far.',
  BLOCK_IN_FLOW: 'A comma is missing here: within brackets, entries are separated by commas.',
  KEY_OVER_1024_CHARS: 'This key is far too long; a colon may be missing.',
  MULTILINE_IMPLICIT_KEY: 'A key is followed by a colon and a space, on one line.',
  MULTIPLE_ANCHORS: 'One value takes one anchor.',
  MULTIPLE_DOCS: 'A file holds one configuration; a second one begins here.',
  TAG_RESOLVE_FAILED: 'Tags (`!name`) have no meaning here; write the plain value.',
};

/** Codes that stand for several faults, told apart by the parser's own words. */
const byWords: readonly (readonly [code: string, words: RegExp, message: string])[] = [
  ['BAD_INDENT', /Flow map/, 'The bracket `{` above is not closed by `}`.'],
  ['BAD_INDENT', /Flow sequence/, 'The bracket `[` above is not closed by `]`.'],
  ['MISSING_CHAR', /Missing closing "/, 'The double quote that opened here or above is not closed.'],
  ['MISSING_CHAR', /Missing closing '/, 'The single quote that opened here or above is not closed.'],
  ['MISSING_CHAR', /Implicit map keys/, 'This line has no colon: a line is `key: value`.'],
  ['MISSING_CHAR', /flow collection|,|\]|\}/, 'A comma or a closing bracket is missing here.'],
  ['UNEXPECTED_TOKEN', /Unexpected , in/, 'This comma has nothing before it.'],
  ['UNEXPECTED_TOKEN', /flow-(map|seq)-end/, 'This bracket closes nothing that was opened.'],
  ['UNEXPECTED_TOKEN', /at node end/, 'The value has ended before this; put the whole of it in quotes.'],
];

/** A sentence for a fault of the parser; what has none keeps the parser's own words. */
export function syntaxMessage(code: string, words: string): string {
  const special = byWords.find(([of, pattern]) => of === code && pattern.test(words));
  return special?.[2] ?? messages[code] ?? `This can't be read: ${words.replace(/\.$/, '')}.`;
}
