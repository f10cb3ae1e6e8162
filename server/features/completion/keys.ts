import {
  type CompletionItem,
  CompletionItemKind,
  InsertTextFormat,
  InsertTextMode,
} from 'vscode-languageserver';
import type { Analysis } from '../../../shared/analysis.ts';
import { allChecks } from '../../../shared/checks/registry.ts';
import { rootShape } from '../../../shared/configuration/schemas.ts';
import { type Shape, shapeAt } from '../../../shared/configuration/shape.ts';
import { singleFaults } from '../../../shared/derived/single-faults.ts';
import { measuredQuantities } from '../../../shared/quantity/index.ts';
import { nodeAtPath } from '../../../shared/source/tree.ts';
import type { Editor } from '../../editor.ts';
import { settingsAt } from '../check-settings.ts';
import { contents } from '../shape-words.ts';
import type { Cursor } from './cursor.ts';
import { keySnippet } from './key-snippet.ts';

/** The keys that can be added to the mapping, required keys first. */
export function keyItems(analysis: Analysis, cursor: Cursor, editor: Editor): CompletionItem[] {
  const shape = shapeAt(rootShape(analysis.kind), cursor.path);
  if (!shape) return [];
  const valueAt = valuesBeside(analysis, cursor);
  const known = [...shape.properties].map(([key, child]) => ({ key, child }));
  const named = shape.others
    ? namesFor(analysis, shape, cursor).map((key) => ({ key, child: shape.others! }))
    : [];
  // The base file of an overlay may already have the required keys.
  const required = analysis.file.root.get('based_on')
    ? []
    : [...shape.required, ...shape.requiredWith(valueAt)];
  const free = [...known, ...named].filter(
    ({ key, child }) => !cursor.siblings.has(key) && child.fitsWith(valueAt),
  );
  return free.map(({ key, child }, index) => {
    const isRequired = required.includes(key);
    return {
      label: key,
      kind: CompletionItemKind.Property,
      ...withDetail(detailOf(child, isRequired)),
      sortText: `${isRequired ? 0 : 1}${String(index).padStart(4, '0')}`,
      data: { kind: analysis.kind, path: [...cursor.path, key] },
      ...inserted(key, child, cursor, editor),
    };
  });
}

/** The values of the neighbouring keys, in this file or in its base files. */
function valuesBeside({ files }: Analysis, { siblings, path }: Cursor): (key: string) => unknown {
  return (key) => {
    const below = files.map(({ root }) => nodeAtPath(root, [...path, key]));
    const node = siblings.get(key) ?? below.find((one) => one !== undefined);
    return node?.type === 'scalar' ? node.text : node;
  };
}

function inserted(
  key: string,
  shape: Shape,
  cursor: Cursor,
  { snippets, suggestAgain }: Editor,
): Partial<CompletionItem> {
  if (cursor.hasColon) return { insertText: key };
  if (!snippets) return { insertText: `${key}: ` };
  return {
    insertText: keySnippet(key, shape, cursor.isFlow),
    insertTextFormat: InsertTextFormat.Snippet,
    insertTextMode: InsertTextMode.adjustIndentation,
    // Offer the existing names or files at once.
    ...((shape.names ?? shape.file) &&
      suggestAgain && { command: { title: 'Suggest', command: suggestAgain } }),
  };
}

const withDetail = (detail: string | undefined) => (detail === undefined ? {} : { detail });

function detailOf(shape: Shape, isRequired: boolean): string | undefined {
  const words = [isRequired ? 'required' : '', contents(shape)?.replaceAll('`', '') ?? ''].filter(Boolean);
  return words.length > 0 ? words.join(' · ') : undefined;
}

/** The names that have a meaning in a mapping that accepts any key. */
function namesFor(
  { kind, installation }: Analysis,
  { keyNames }: Shape,
  { path }: Cursor,
): readonly string[] {
  if (keyNames === 'quantity') return measuredQuantities.map(({ name }) => name);
  if (keyNames === 'sensor') return Object.keys(installation?.configuration.sensors ?? {});
  if (keyNames === 'output') return Object.keys(installation?.configuration.outputs ?? {});
  if (keyNames === 'check') return allChecks.filter(({ settings }) => settings).map(({ id }) => id);
  if (keyNames === 'path' && installation)
    return [...new Set(singleFaults(installation).map(({ of }) => of))];
  return [...settingsAt(kind, path).keys()];
}
