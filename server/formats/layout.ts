/** Layout of text in the columns of a terminal. */

const ZERO_WIDTH = /[\p{Mn}\p{Me}\p{Cf}]/u;
/** East Asian wide and full-width characters (the blocks of UAX #11), and pictures. */
const WIDE =
  /[\u1100-\u115f\u2e80-\u303e\u3041-\ua4cf\uac00-\ud7a3\uf900-\ufaff\ufe30-\ufe6f\uff00-\uff60\uffe0-\uffe6]/;
const WIDE_OR_PICTURE = /\p{Emoji_Presentation}|[\u{20000}-\u{3fffd}]/u;

/** The width of a text in columns: 0 for a combining mark, 2 for a wide character. */
export function displayWidth(text: string): number {
  let width = 0;
  for (const character of text) width += characterWidth(character);
  return width;
}

function characterWidth(character: string): number {
  if (character < '\u0300') return 1;
  if (ZERO_WIDTH.test(character)) return 0;
  return WIDE.test(character) || WIDE_OR_PICTURE.test(character) ? 2 : 1;
}

export function padEnd(text: string, width: number): string {
  return text + ' '.repeat(Math.max(0, width - displayWidth(text)));
}

export function padStart(text: string, width: number): string {
  return ' '.repeat(Math.max(0, width - displayWidth(text))) + text;
}

/**
 * A text from a file, safe to print: control characters could move the cursor or overwrite lines, and marks of writing
 * direction could reorder the characters. A build server takes a line that begins with `::` for a command.
 */
export function printable(text: string): string {
  return visible(text).replace(/^\s*:(?=:)/, (mark) => `${mark.slice(0, -1)}\ufffd`);
}

/** A part of a line, safe to print after other text. */
export function visible(text: string): string {
  return withoutCommand(
    text
      .replace(/\t/g, ' ')
      .replace(/[\p{Cc}\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069]/gu, '\ufffd'),
  );
}

/** A build server takes `##[` for the beginning of a command, wherever it is in a line. */
const withoutCommand = (text: string): string => text.replace(/##(?=\[)/g, '#\ufffd');

/**
 * Where a line of words may break, and where a formula may: before an operator, so that a number keeps its unit. No line
 * may begin with `::`, see `printable`.
 */
export const WORDS = /(?<= )(?=\S)(?!::)/;
export const OPERATORS = /(?<= )(?=[=·+−×/] )/;
/** For parts separated by `·`: the separator ends the line. */
export const PARTS = /(?<= · )/;

/** Lines of at most `width` columns; a longer piece gets a line of its own. */
export function wrap(text: string, width: number, breaks: RegExp = WORDS): string[] {
  const lines: string[] = [];
  for (const paragraph of text.split('\n')) {
    let line = '';
    for (const piece of paragraph.split(breaks)) {
      if (line !== '' && displayWidth(line) + displayWidth(piece.trimEnd()) > width) {
        lines.push(line.trimEnd());
        line = '';
      }
      line += piece;
    }
    lines.push(line.trimEnd());
  }
  return lines;
}

/** Wrapped text with a hanging indent: the first line follows `first`. */
export function hang(first: string, text: string, width: number, breaks: RegExp = WORDS): string {
  const indent = ' '.repeat(displayWidth(first));
  return first + wrap(text, Math.max(20, width - indent.length), breaks).join(`\n${indent}`);
}

export interface Cropped {
  readonly text: string;
  /** The columns before the marked range, and its width (at least 1). */
  readonly before: number;
  readonly marked: number;
}

/** The part of a line around `start`..`end` (UTF-16 units) that fits into `width` columns; `…` replaces the rest. */
export function crop(line: string, start: number, end: number, width: number): Cropped {
  // A line can be as long as the file and have thousands of findings.
  const reach = 8 * width;
  const left = [...visible(line.slice(Math.max(0, start - reach), start))];
  const stretch = [...visible(line.slice(start, Math.min(end, start + reach)))];
  const right = [...visible(line.slice(end, end + reach))];
  let middle = stretch;
  if (line.length > reach || displayWidth(line) > width) {
    middle = takeWhileFits(stretch, width - 2);
    const room = width - 2 - displayWidth(middle.join(''));
    const leftRoom = Math.max(room - displayWidth(right.join('')), Math.ceil(room / 2));
    const kept = takeWhileFits(left.toReversed(), leftRoom).toReversed();
    const rest = takeWhileFits(right, room - displayWidth(kept.join('')));
    if (kept.length < left.length) kept.unshift('…');
    left.splice(0, left.length, ...kept);
    if (rest.length < right.length || middle.length < stretch.length) rest.push('…');
    right.splice(0, right.length, ...rest);
  }
  // The stretch may begin or end within what a build server takes for a command.
  const text = withoutCommand([...left, ...middle, ...right].join('').trimEnd());
  const before = displayWidth(left.join(''));
  return { text, before, marked: Math.max(1, displayWidth(middle.join(''))) };
}

function takeWhileFits(characters: readonly string[], width: number): string[] {
  let filled = 0;
  const end = characters.findIndex((character) => {
    filled += characterWidth(character);
    return filled > width;
  });
  return characters.slice(0, end < 0 ? undefined : end);
}
