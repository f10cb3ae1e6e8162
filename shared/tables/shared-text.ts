import type { MappingNode, ScalarNode } from '../source/tree.ts';

/** Whether what stands under a key belongs to other places too: it has an anchor, or is written by an alias. */
export function isShared(mapping: MappingNode, name: string): boolean {
  const entry = mapping.entry(name);
  if (!entry) return false;
  const { key, value } = entry;
  if (value.chunk !== key.chunk) return false;
  return value.start < key.end || key.chunk.text.slice(key.end, value.start).includes('&');
}

/** A scalar's new text in the quotes that it has, or in those that it needs. */
export function inQuotesOf(node: ScalarNode, text: string): string {
  const quote = node.style === 'quoted' ? node.chunk.text[node.start]! : needsQuotes(text) ? '"' : '';
  return quote + text + quote;
}

/** `%` may not open a plain word of YAML. */
export const needsQuotes = (text: string): boolean => text.startsWith('%');
