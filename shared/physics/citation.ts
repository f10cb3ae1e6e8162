import { type Source, type SourceKey, sources } from './sources.ts';

/**
 * A source as one readable line: `ISO 2533: Standard Atmosphere (1975), constants and … [from memory]`. What it says
 * at the end tells how far to trust it.
 */
export function citation(key: SourceKey): string {
  const { author, title, year, where, kind }: Source = sources[key];
  return `${author}: ${title}${year === undefined ? '' : ` (${year})`}, ${where} [${kind}]`;
}
