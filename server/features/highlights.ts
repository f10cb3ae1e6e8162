import {
  type DocumentHighlight,
  DocumentHighlightKind,
  type DocumentHighlightParams,
  type Position,
} from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import { mentionsIn } from '../../shared/configuration/mentions.ts';
import { namesAt } from '../../shared/configuration/names.ts';
import { rangeOf } from '../places.ts';
import type { Feature } from './feature.ts';

export const highlights: Feature = {
  capabilities: { documentHighlightProvider: true },
  listen: (connection, { from }) => {
    connection.onDocumentHighlight(from<DocumentHighlightParams, DocumentHighlight[]>(highlightsAt));
  },
};

/** Every place of the file that refers to the thing named under the cursor; its declaration is marked as a write. */
export function highlightsAt(
  { file }: Pick<Analysis, 'file'>,
  { position }: { readonly position: Position },
): DocumentHighlight[] | null {
  const names = namesAt(file, file.lines.offset(position));
  if (names.length === 0) return null;
  return names.flatMap((wanted) =>
    mentionsIn(file, wanted).map(({ name }) => ({
      range: rangeOf(file, name.span),
      kind: name.declares ? DocumentHighlightKind.Write : DocumentHighlightKind.Read,
    })),
  );
}
