// What the makers of files have in common.

/** `oil-flow` and `oil_flow` as a name in code: `oilFlow`. */
export const camel = (name) => name.replace(/[-_]([a-z0-9])/g, (_, letter) => letter.toUpperCase());

/** `oil_flow` in words: `Oil flow`. */
export function sentence(name) {
  const words = name.replace(/[-_]/g, ' ');
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** The name that somebody gave, or an error that says how one looks. */
export function named(name, pattern, example) {
  if (!pattern.test(name ?? '')) throw new Error(`Give it a name such as ${example}.`);
  return name;
}

/** A text with an import more; where it belongs among the others the formatter knows. */
export const withImport = (text, line) => text.replace(/^import /m, `${line}\nimport `);

/**
 * A text with an entry more at the end of the list that `opening` begins, which the first `closing` behind it
 * ends.
 */
export function withEntry(text, opening, closing, entry) {
  const start = text.indexOf(opening);
  const end = text.indexOf(closing, start);
  if (start < 0 || end < 0) throw new Error(`There is no list that begins with \`${opening}\`.`);
  const before = text.slice(0, end).trimEnd();
  return `${before}${/[[,]$/.test(before) ? '' : ','} ${entry}${text.slice(end)}`;
}
