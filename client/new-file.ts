import * as vscode from 'vscode';
import type { FileKind } from '../shared/configuration/project.ts';

/** Asks where to write a file; refuses names that Enginewright would not check. */
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
  void vscode.window.showErrorMessage(`The file name must end in ${ending}. No file was written.`);
  return undefined;
}

/** Writes the text that the server made from the answers (null if it failed) and shows it. */
export async function writeAndShow(file: vscode.Uri, text: string | null): Promise<void> {
  if (text === null) throw new Error('The language server could not create the file.');
  await vscode.workspace.fs.writeFile(file, new TextEncoder().encode(text));
  await vscode.window.showTextDocument(file, { preview: false });
}
