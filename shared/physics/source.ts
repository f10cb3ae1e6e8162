/**
 * How well a source is known: `published`, the document or a stored copy of it was read; `from memory`, the document
 * was not at hand; `computed`, rearranged from formulas that have their own sources; `definition`, the expression says
 * what the value is and needs no document; `common practice`, what the trade does, without a document.
 */
export type Provenance = 'published' | 'from memory' | 'computed' | 'definition' | 'common practice';

export interface Source {
  /** Person or body; a definition has none. */
  readonly author?: string;
  readonly title: string;
  readonly year?: number;
  /** The one equation, section or table. */
  readonly where?: string;
  readonly kind: Provenance;
  /** What a reader should know before trusting it: what was read, what is assumed. */
  readonly note?: string;
}
