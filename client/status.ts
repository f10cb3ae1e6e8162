import * as vscode from 'vscode';
import { counted } from '../shared/counted.ts';
import { engineFiles } from './files.ts';
import type { LanguageServer } from './language-server.ts';

/** The status of the language server for the active file, among the editor's language statuses. */
export function languageStatus(server: LanguageServer): vscode.Disposable {
  const item = vscode.languages.createLanguageStatusItem('enginewright.status', engineFiles());
  item.name = 'Enginewright';
  const show = (): void => {
    const { state } = server;
    item.busy = state === 'starting';
    const isStopped = state === 'stopped';
    item.severity = vscode.LanguageStatusSeverity[isStopped ? 'Error' : 'Information'];
    item.text = isStopped
      ? 'Enginewright has stopped'
      : state === 'running'
        ? findings()
        : 'Enginewright is starting';
    item.detail = isStopped ? 'The findings shown may be out of date.' : 'Findings in this file';
    item.command = isStopped ? { title: 'Restart', command: 'enginewright.restartServer' } : undefined;
  };
  show();
  return vscode.Disposable.from(
    item,
    server.onDidChangeState(show),
    vscode.languages.onDidChangeDiagnostics(show),
    vscode.window.onDidChangeActiveTextEditor(show),
  );
}

function findings(): string {
  const uri = vscode.window.activeTextEditor?.document.uri;
  const own = uri
    ? vscode.languages.getDiagnostics(uri).filter(({ source }) => source === 'enginewright')
    : [];
  return own.length === 0 ? 'No findings' : counted(own.length, 'finding');
}
