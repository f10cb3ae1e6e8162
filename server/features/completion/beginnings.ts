import { type CompletionItem, CompletionItemKind, InsertTextFormat } from 'vscode-languageserver';
import type { Analysis } from '../../../shared/analysis.ts';
import { PLACEHOLDER } from '../../../shared/configuration/bind.ts';
import { newInstallation } from '../../../shared/starting/new-installation.ts';
import type { Editor } from '../../editor.ts';
import type { Cursor } from './cursor.ts';

/** Templates of whole engine files, offered in an empty file. */
export function beginnings({ kind }: Analysis, { path, siblings }: Cursor, editor: Editor): CompletionItem[] {
  if (kind !== 'engine' || path.length > 0 || siblings.size > 0) return [];
  return [
    { label: 'New turbocharged installation', boosted: true },
    { label: 'New naturally aspirated installation', boosted: false },
  ].map(({ label, boosted }, index) => ({
    label,
    kind: CompletionItemKind.Snippet,
    detail: 'template with every key explained',
    sortText: `2${index}`,
    ...inserted(newInstallation({ boosted }), editor),
  }));
}

function inserted(text: string, { snippets }: Editor): Partial<CompletionItem> {
  if (!snippets) return { insertText: text };
  let stop = 0;
  const insertText = text
    .replaceAll(/[\\$]/g, '\\$&')
    .replaceAll(PLACEHOLDER, () => `\${${++stop}:${PLACEHOLDER}}`);
  return { insertText, insertTextFormat: InsertTextFormat.Snippet };
}
