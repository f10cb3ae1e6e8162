/** The parser's error codes as messages for somebody who writes a configuration. */
const messages: Readonly<Record<string, string>> = {
  ALIAS_PROPS: 'An alias cannot have an anchor or a tag.',
  BAD_ALIAS: 'Incomplete alias; write `*name`.',
  BAD_DIRECTIVE: 'Lines that begin with `%` are not supported.',
  BAD_DQ_ESCAPE: 'Invalid escape in double quotes; write `\\\\` for a backslash, or use single quotes.',
  BAD_INDENT: 'Indentation differs from the lines around it, or a bracket above is not closed.',
  BAD_SCALAR_START: 'A value cannot begin with this character; put it in quotes.',
  BLOCK_AS_IMPLICIT_KEY: 'Second `key:` on this line, or the line below is indented too far.',
  BLOCK_IN_FLOW: 'Comma missing; entries in brackets are separated by commas.',
  KEY_OVER_1024_CHARS: 'Key is too long; a colon may be missing.',
  MULTILINE_IMPLICIT_KEY: 'Key and colon must be on one line, with a space after the colon.',
  MULTIPLE_ANCHORS: 'A value can have only one anchor.',
  MULTIPLE_DOCS: 'Second document in the file; a file contains one configuration.',
  TAG_RESOLVE_FAILED: 'Tags (`!name`) are not supported; write the plain value.',
};

/** Codes that are used for several errors, which the text of the parser's message distinguishes. */
const byWords: readonly (readonly [code: string, words: RegExp, message: string])[] = [
  ['BAD_INDENT', /Flow map/, 'Bracket `{` above is not closed by `}`.'],
  ['BAD_INDENT', /Flow sequence/, 'Bracket `[` above is not closed by `]`.'],
  ['MISSING_CHAR', /Missing closing "/, 'Double quote is not closed.'],
  ['MISSING_CHAR', /Missing closing '/, 'Single quote is not closed.'],
  ['MISSING_CHAR', /Implicit map keys/, 'Colon missing; write `key: value`.'],
  ['MISSING_CHAR', /flow collection|,|\]|\}/, 'Comma or closing bracket missing.'],
  ['UNEXPECTED_TOKEN', /Unexpected , in/, 'Nothing before this comma.'],
  ['UNEXPECTED_TOKEN', /flow-(map|seq)-end/, 'Closing bracket without an opening one.'],
  ['UNEXPECTED_TOKEN', /at node end/, 'Text after the end of the value; put the whole value in quotes.'],
];

/** The message for a parser error; an error that is not listed keeps the parser's own message. */
export function syntaxMessage(code: string, words: string): string {
  const special = byWords.find(([of, pattern]) => of === code && pattern.test(words));
  return special?.[2] ?? messages[code] ?? `Syntax error: ${words.replace(/\.$/, '')}.`;
}
