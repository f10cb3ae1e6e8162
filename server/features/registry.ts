import { checkPages } from './check-pages.ts';
import { codeActions } from './code-actions.ts';
import { completion } from './completion/completion.ts';
import { documentSymbols } from './document-symbols.ts';
import type { Feature } from './feature.ts';
import { hover } from './hover.ts';
import { inlayHints } from './inlay-hints.ts';

/** Everything that an editor can ask for. A new feature is one file and one line here. */
export const features: readonly Feature[] = [
  hover,
  inlayHints,
  completion,
  codeActions,
  documentSymbols,
  checkPages,
];
