import * as vscode from 'vscode';
import type { Place } from '../server/features/installation-view-types.ts';
import { rangeFrom } from './cell-commands.ts';
import { isEngineFile } from './files.ts';

/** Shows a place next to a panel, in the editor that already shows the file if there is one. */
export async function goTo({ uri, range }: Place): Promise<void> {
  const { window, workspace, Uri, ViewColumn } = vscode;
  const address = Uri.parse(uri);
  const there = window.visibleTextEditors.find(({ document }) => document.uri.toString() === uri);
  const beside = window.visibleTextEditors.find(({ document }) => isEngineFile(document));
  const viewColumn = (there ?? beside)?.viewColumn ?? ViewColumn.One;
  try {
    const document = await workspace.openTextDocument(address);
    await window.showTextDocument(document, { viewColumn, selection: rangeFrom(range) });
  } catch {
    void window.showErrorMessage(`Cannot open ${address.path}.`);
  }
}
