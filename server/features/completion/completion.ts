import { type CompletionItem, type CompletionParams, CompletionTriggerKind } from 'vscode-languageserver';
import type { Analysis } from '../../../shared/analysis.ts';
import { rootShape } from '../../../shared/configuration/schemas.ts';
import { shapeAt } from '../../../shared/configuration/shape.ts';
import type { PathStep } from '../../../shared/source/tree.ts';
import type { Editor } from '../../editor.ts';
import { markup } from '../../markdown.ts';
import { rangeBetween } from '../../places.ts';
import type { Workspace } from '../../workspace.ts';
import { settingAt, settingPage } from '../check-settings.ts';
import type { Feature } from '../feature.ts';
import { keyPage } from '../shape-words.ts';
import { beginnings } from './beginnings.ts';
import { busMessages } from './bus-messages.ts';
import { type Cursor, cursorAt } from './cursor.ts';
import { keyItems } from './keys.ts';
import { unitItems } from './unit-items.ts';
import { wordItems } from './values.ts';

export const completion: Feature = {
  capabilities: { completionProvider: { triggerCharacters: [' ', '/'], resolveProvider: true } },
  listen: (connection, { from, alone }) => {
    connection.onCompletion(from<CompletionParams, CompletionItem[]>(completionAt));
    connection.onCompletionResolve((item) => alone(withDocumentation, item)(item));
  },
};

/** The keys, units, choices and names that fit at the cursor. */
export function completionAt(
  analysis: Analysis,
  { position, context }: Pick<CompletionParams, 'position' | 'context'>,
  editor: Editor,
  workspace: Workspace,
): CompletionItem[] {
  const cursor = cursorAt(analysis.file, position);
  if (!cursor) return [];
  const { items: units, typed } = unitItems(analysis, cursor);
  const replacing = (from: number) => (item: CompletionItem) => replace(analysis, cursor, from, item);
  if (units.length > 0) return units.map(replacing(typed));
  if (cursor.role === 'value') return wordItems(analysis, cursor, workspace).map(replacing(0));
  // A space that indents a line does not open the list.
  const isIndenting = context?.triggerKind === CompletionTriggerKind.TriggerCharacter && !cursor.isFlow;
  if (isIndenting) return [];
  return [
    ...keyItems(analysis, cursor, editor),
    ...busMessages(analysis, cursor, editor),
    ...beginnings(analysis, cursor, editor),
  ].map(replacing(0));
}

/** Makes the item replace the word from its `from`th character on. */
function replace(
  { file }: Analysis,
  { start, end }: Cursor,
  from: number,
  { insertText, ...item }: CompletionItem,
): CompletionItem {
  const range = rangeBetween(file, start + from, end);
  return { ...item, textEdit: { range, newText: insertText ?? item.label } };
}

interface Origin {
  readonly kind: Analysis['kind'];
  readonly path: readonly PathStep[];
}

/** Adds the page of a key to its item when the editor shows the item. */
export function withDocumentation(item: CompletionItem, { completionMarks }: Editor): CompletionItem {
  const origin = item.data as Origin | undefined;
  const shape = origin && shapeAt(rootShape(origin.kind), origin.path);
  if (!shape) return item;
  const setting = settingAt(origin.kind, origin.path);
  const page = setting ? settingPage(item.label, setting) : keyPage(shape, item.label);
  return { ...item, documentation: markup(page, completionMarks) };
}
