import { cellChange } from './cell-change.ts';
import { checkPages } from './check-pages.ts';
import { codeActions } from './code-actions.ts';
import { codeLenses } from './code-lenses.ts';
import { completion } from './completion/completion.ts';
import { definition } from './definition.ts';
import { documentLinks } from './document-links.ts';
import { documentSymbols } from './document-symbols.ts';
import type { Feature } from './feature.ts';
import { folding } from './folding.ts';
import { formatting } from './formatting.ts';
import { highlights } from './highlights.ts';
import { hover } from './hover.ts';
import { inlayHints } from './inlay-hints.ts';
import { installationPages } from './installation-pages.ts';
import { installationViews } from './installation-view.ts';
import { memoryViews } from './memory-view.ts';
import { newInstallations } from './new-installation.ts';
import { proofs } from './proof.ts';
import { pullDiagnostics } from './pull-diagnostics.ts';
import { references } from './references.ts';
import { rename } from './rename.ts';
import { reviews } from './review.ts';
import { runViews } from './run-view.ts';
import { selectionRanges } from './selection-ranges.ts';
import { semanticTokens } from './semantic-tokens.ts';
import { tableViews } from './table-view.ts';
import { workspaceSymbols } from './workspace-symbols.ts';

/** Every language feature. A new feature is one file and one line here. */
export const features: readonly Feature[] = [
  hover,
  inlayHints,
  completion,
  codeActions,
  documentSymbols,
  definition,
  references,
  highlights,
  rename,
  workspaceSymbols,
  documentLinks,
  folding,
  selectionRanges,
  semanticTokens,
  formatting,
  codeLenses,
  pullDiagnostics,
  proofs,
  checkPages,
  newInstallations,
  cellChange,
  tableViews,
  installationViews,
  installationPages,
  memoryViews,
  runViews,
  reviews,
];
