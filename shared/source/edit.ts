import type { Span } from './tree.ts';

/** A change of text: what stands in the span becomes `text`. */
export interface Edit {
  readonly span: Span;
  readonly text: string;
}

export function replace(span: Span, text: string): Edit {
  return { span, text };
}
