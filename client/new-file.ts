import * as vscode from 'vscode';
import type { FileKind } from '../shared/configuration/project.ts';

/** Asks where to write a file; names that would not be looked after are refused. */
export async function askForPlace(
  title: string,
  called: string,
  kind: FileKind,
): Promise<vscode.Uri | undefined> {
  const ending = `.${kind}.yaml`;
  const name = called
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, '-')
    .replaceAll(/^-|-$/g, '');
  const folder = vscode.workspace.workspaceFolders?.[0]?.uri;
  const file = await vscode.window.showSaveDialog({
    title,
    filters: { [kind === 'engine' ? 'Engine files' : 'Controller files']: ['yaml'] },
    ...(folder && { defaultUri: vscode.Uri.joinPath(folder, `${name || 'new'}${ending}`) }),
  });
  if (file === undefined || file.path.endsWith(ending)) return file;
  void vscode.window.showErrorMessage(`The name of such a file ends in ${ending}; nothing was written.`);
  return undefined;
}

/** Writes what the server made of the answers, null where it could make nothing, and shows it. */
export async function writeAndShow(file: vscode.Uri, text: string | null): Promise<void> {
  if (text === null) throw new Error('The language server could not write the file.');
  await vscode.workspace.fs.writeFile(file, new TextEncoder().encode(text));
  await vscode.window.showTextDocument(file, { preview: false });
}
