// Common functions of the scaffolds.

/** `oil-flow` and `oil_flow` as a name in code: `oilFlow`. */
export const camel = (name) => name.replace(/[-_]([a-z0-9])/g, (_, letter) => letter.toUpperCase());

/** `oil_flow` in words: `Oil flow`. */
export function sentence(name) {
  const words = name.replace(/[-_]/g, ' ');
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** The given name; throws an error with an example if it does not match. */
export function named(name, pattern, example) {
  if (!pattern.test(name ?? '')) throw new Error(`Missing or malformed name; use a name such as ${example}.`);
  return name;
}

/** A text with one more import; the formatter sorts it. */
export const withImport = (text, line) => text.replace(/^import /m, `${line}\nimport `);

/**
 * A text with one more entry at the end of the list between `opening` and the next `closing`.
 */
export function withEntry(text, opening, closing, entry) {
  const start = text.indexOf(opening);
  const end = text.indexOf(closing, start);
  if (start < 0 || end < 0) throw new Error(`Found no list that begins with \`${opening}\`.`);
  const before = text.slice(0, end).trimEnd();
  return `${before}${/[[,]$/.test(before) ? '' : ','} ${entry}${text.slice(end)}`;
}
