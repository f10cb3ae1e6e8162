import type { MappingNode, ScalarNode } from '../source/tree.ts';

/** Whether the value of a key is shared with other places: it has an anchor or is an alias. */
export function isShared(mapping: MappingNode, name: string): boolean {
  const entry = mapping.entry(name);
  if (!entry) return false;
  const { key, value } = entry;
  if (value.chunk !== key.chunk) return false;
  return value.start < key.end || key.chunk.text.slice(key.end, value.start).includes('&');
}

/** The new text of a scalar in its present quotes, or in quotes if it needs them. */
export function inQuotesOf(node: ScalarNode, text: string): string {
  const quote = node.style === 'quoted' ? node.chunk.text[node.start]! : needsQuotes(text) ? '"' : '';
  return quote + text + quote;
}

/** A plain YAML scalar cannot begin with `%`. */
export const needsQuotes = (text: string): boolean => text.startsWith('%');
