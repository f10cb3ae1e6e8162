// The edits to be timed. Each run writes a different text, so that no cached result is reused.

/** The offset after the first match of a pattern. */
function behind(text, pattern) {
  const found = pattern.exec(text);
  if (!found) throw new Error(`the text has no ${pattern}`);
  return found.index + found[0].length;
}

const replaceDigit = (pattern) => ({
  length: 1,
  at: (text) => behind(text, pattern),
  text: (run, old) => String((Number(old) + 1 + (run % 8)) % 10),
});

/** @type {Record<string, { length: number, at(text: string): number, text(run: number, old: string): string }>} */
export const edits = {
  'a digit in the filling map': replaceDigit(/volumetric_efficiency:(?:[^[]*\[){3}\d+\./),
  'a digit in a message': replaceDigit(/^ {4}extra_0:\n(?:.*\n)*?.*start_bit: 16.*range: 0\.\.9/m),
  'a new line': {
    length: 0,
    at: (text) => behind(text, /^ {2}point_0:\n.*/m),
    text: (run) => `\n${' '.repeat(run % 4)}`,
  },
  'a new key': {
    length: 0,
    at: (text) => behind(text, /^ {2}point_0:\n.*/m),
    text: (run) => `\n    coolant_temperature: ${80 + run} °C`,
  },
};
