import type {
  DocumentFormattingParams,
  DocumentRangeFormattingParams,
  Range,
  TextEdit,
} from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import { formatEdits } from '../../shared/source/format.ts';
import { rangeBetween } from '../places.ts';
import type { Feature } from './feature.ts';

export const formatting: Feature = {
  capabilities: { documentFormattingProvider: true, documentRangeFormattingProvider: true },
  listen: (connection, { from }) => {
    connection.onDocumentFormatting(
      from<DocumentFormattingParams, TextEdit[]>((analysis) => formattingOf(analysis)),
    );
    connection.onDocumentRangeFormatting(
      from<DocumentRangeFormattingParams, TextEdit[]>((analysis, { range }) => formattingOf(analysis, range)),
    );
  },
};

/** Aligns the columns of tables; for a range, only its lines, to the column widths of the whole table. */
export function formattingOf({ file }: Pick<Analysis, 'file'>, range?: Range): TextEdit[] {
  return formatEdits(file)
    .map(({ start, end, text }) => ({ range: rangeBetween(file, start, end), newText: text }))
    .filter(
      ({ range: { start } }) => !range || (range.start.line <= start.line && start.line <= range.end.line),
    );
}
