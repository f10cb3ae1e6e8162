import { groupedBy } from '../grouped-by.ts';
import type { StoredPart } from './stored-parts.ts';

/** SHA-256 of a text in UTF-8, as hexadecimal digits in lower case. Given by the caller, since this code uses no system. */
export type Hash = (text: string) => string;

/**
 * The digest of the stored numbers. Where and how they are stored, and the spelling of the text, have no influence on it.
 */
export const contentDigest = (parts: readonly StoredPart[], hash: Hash): string => hash(contentText(parts));

/**
 * What the digest is computed over: for each field its stored numbers, as canonical JSON (RFC 8785): keys by code units,
 * no blanks, numbers as ECMAScript prints them.
 */
export function contentText(parts: readonly StoredPart[]): string {
  const fields = [...groupedBy(parts, ({ key }) => key)].sort(([a], [b]) => (a < b ? -1 : 1));
  const texts = fields.map(([key, own]) => {
    const named = own.map((stored) => [stored.part.name, rawText(stored)] as const);
    const entries = named.sort(([a], [b]) => (a < b ? -1 : 1)).map(([name, raw]) => `"${name}":${raw}`);
    return `${JSON.stringify(key)}:{${entries.join(',')}}`;
  });
  return `{${texts.join(',')}}`;
}

/** The numbers of an axis as a list, those of values as a list of rows. */
function rawText({ part, rows, columns, cells }: StoredPart): string {
  const raws = cells.map(({ raw }) => raw);
  if (part.name !== 'values') return JSON.stringify(raws);
  return JSON.stringify(Array.from({ length: rows }, (_, i) => raws.slice(i * columns, (i + 1) * columns)));
}
