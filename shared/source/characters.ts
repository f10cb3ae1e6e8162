// Codes of the characters that have a meaning in YAML, and what a plain word may contain.

export const LINE_FEED = 10;
export const RETURN = 13;
export const SPACE = 32;
export const DOUBLE_QUOTE = 34;
export const HASH = 35;
export const SINGLE_QUOTE = 39;
export const PLUS = 43;
export const COMMA = 44;
export const DASH = 45;
export const DOT = 46;
export const SLASH = 47;
export const COLON = 58;
export const OPEN_BRACKET = 91;
export const CLOSE_BRACKET = 93;
export const UNDERSCORE = 95;
export const OPEN_BRACE = 123;
export const CLOSE_BRACE = 125;
export const BYTE_ORDER_MARK = 0xfeff;

/** Whether a plain word may begin here: with a letter, a digit, a sign or a dot, and not with a YAML indicator. */
export function opensWord(text: string, at: number): boolean {
  const code = text.charCodeAt(at);
  if (code === DASH || code === PLUS || code === DOT) {
    const next = text.charCodeAt(at + 1);
    // Three dots end a document.
    if (next === DOT) return text.charCodeAt(at + 2) !== DOT;
    return isWordCharacter(next) || next === SLASH;
  }
  return isWordCharacter(code) || (code > 0xa0 && code !== BYTE_ORDER_MARK);
}

export const isWordCharacter = (code: number): boolean =>
  (code >= 48 && code <= 57) ||
  (code >= 65 && code <= 90) ||
  (code >= 97 && code <= 122) ||
  code === UNDERSCORE;

export const isPrintable = (code: number): boolean =>
  (code > SPACE && code < 0x7f) || (code > 0xa0 && code !== BYTE_ORDER_MARK);

export const isLineBreak = (code: number): boolean => code === LINE_FEED || code === RETURN;

/** Whether this is a space, a line end or the end of the text. */
export const isBlank = (code: number): boolean => code === SPACE || isLineBreak(code) || Number.isNaN(code);

export const isFlowIndicator = (code: number): boolean =>
  code === COMMA ||
  code === OPEN_BRACKET ||
  code === CLOSE_BRACKET ||
  code === OPEN_BRACE ||
  code === CLOSE_BRACE;
