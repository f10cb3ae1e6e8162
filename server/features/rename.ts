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
} from 'vscode-languageserver/node';
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

/** What would be renamed, with its present name. Quantities are words of the format, not names to choose. */
export function renameableAt(
  { file }: Pick<Analysis, 'file'>,
  { position }: { readonly position: Position },
): { range: Range; placeholder: string } | null {
  const name = chosenNameAt(file, position);
  return name ? { range: rangeOf(file, name.span), placeholder: name.text } : null;
}

/** The edits, in all files that speak of the thing, that give it another name and change nothing else. */
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
      ? `There is another ${name.kind} ${newName}.`
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

/** A name that YAML reads as it stands, as a key and as a value. */
const NAME = /^[A-Za-z_][\w-]*$/;
/** Words that YAML reads as something else than text. */
const NO_TEXT = /^(?:true|false|null)$/i;

function unfitReason({ kind, text }: Name): string | undefined {
  if (!NAME.test(text) || NO_TEXT.test(text)) {
    return `A ${kind} needs a name of letters, digits, _ and -, and a letter first.`;
  }
  if (kind === 'signal' && !measuredQuantity(text)) {
    return `A signal is called by the quantity that it carries, and there is no quantity ${text}.`;
  }
  return undefined;
}
