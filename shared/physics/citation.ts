import { type Source, type SourceKey, sources } from './sources.ts';

/**
 * A source as one readable line that ends with how far to trust it:
 * `ISO 2533: Standard Atmosphere (1975), section 2.7, pressure [from memory: the table of … was read …]`.
 */
export function citation(key: SourceKey): string {
  const { author, title, year, where, kind, note }: Source = sources[key];
  const name = author === undefined ? title : `${author}: ${title}`;
  const place = where === undefined ? '' : `, ${where}`;
  return `${name}${year === undefined ? '' : ` (${year})`}${place} [${kind}${note === undefined ? '' : `: ${note}`}]`;
}
