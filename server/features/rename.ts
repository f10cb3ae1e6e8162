import {
  ErrorCodes,
  type Position,
  type PrepareRenameParams,
  type PrepareRenameResult,
  type Range,
  type RenameParams,
  ResponseError,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import { isSameThing, type Name, namesAt, namesIn } from '../../shared/configuration/names.ts';
import { measuredQuantity } from '../../shared/quantity/index.ts';
import type { Editor } from '../editor.ts';
import { rangeOf } from '../places.ts';
import { plainText } from '../plain-text.ts';
import type { Workspace } from '../workspace.ts';
import type { Feature } from './feature.ts';
import { mentionsAcross } from './mentions.ts';

export const rename: Feature = {
  capabilities: { renameProvider: { prepareProvider: true } },
  listen: (connection, { from }) => {
    connection.onPrepareRename(from<PrepareRenameParams, PrepareRenameResult>(renameableAt));
    connection.onRenameRequest(from<RenameParams, WorkspaceEdit>(renameAt));
  },
};

/** The range and present name of what can be renamed. Quantities cannot: the format fixes their names. */
export function renameableAt(
  { file }: Pick<Analysis, 'file'>,
  { position }: { readonly position: Position },
): { range: Range; placeholder: string } | null {
  const name = chosenNameAt(file, position);
  return name ? { range: rangeOf(file, name.span), placeholder: name.text } : null;
}

/** The edits that rename a thing in all files that refer to it. */
export function renameAt(
  { file }: Pick<Analysis, 'file'>,
  { position, newName }: Pick<RenameParams, 'position' | 'newName'>,
  editor: Editor,
  workspace: Workspace,
): WorkspaceEdit | null {
  const name = chosenNameAt(file, position);
  if (!name) return null;
  const mentions = mentionsAcross(name, file, workspace);
  const renamed = { ...name, text: newName };
  const refusal =
    unfitReason(renamed) ??
    (newName !== name.text &&
    mentions.some((one) => namesIn(one.file).some((other) => other.declares && isSameThing(other, renamed)))
      ? `${withArticle(name.kind, 'A')} named '${newName}' already exists.`
      : undefined);
  if (refusal !== undefined) throw new ResponseError(ErrorCodes.InvalidParams, plainText(refusal));
  const changes: Record<string, TextEdit[]> = {};
  for (const mention of mentions) {
    const uri = editor.uriOf(mention.file.path);
    changes[uri] ??= [];
    changes[uri].push({ range: rangeOf(mention.file, mention.name.span), newText: newName });
  }
  return { changes };
}

function chosenNameAt(file: Analysis['file'], position: Position): Name | undefined {
  return namesAt(file, file.lines.offset(position)).find(({ kind }) => kind !== 'quantity');
}

/** A name that needs no quotes in YAML, as a key or as a value. */
const NAME = /^[A-Za-z_][\w-]*$/;
/** Words that YAML does not read as text. */
const NO_TEXT = /^(?:true|false|null)$/i;

function unfitReason({ kind, text }: Name): string | undefined {
  if (!NAME.test(text) || NO_TEXT.test(text)) {
    return `The name of ${withArticle(kind, 'a')} must consist of letters, digits, _ and -, and must start with a letter.`;
  }
  if (kind === 'signal' && !measuredQuantity(text)) {
    return `A signal has the name of its quantity, and '${text}' is not a quantity.`;
  }
  return undefined;
}

const withArticle = (kind: string, article: 'a' | 'A'): string =>
  `${article}${/^[aeiou]/.test(kind) ? 'n' : ''} ${kind}`;
