import type { DocumentSymbol, WorkspaceSymbol, WorkspaceSymbolParams } from 'vscode-languageserver';
import { fileKind } from '../../shared/configuration/project.ts';
import type { Editor } from '../editor.ts';
import type { Workspace } from '../workspace.ts';
import { symbolsOf } from './document-symbols.ts';
import type { Feature } from './feature.ts';

export const workspaceSymbols: Feature = {
  capabilities: { workspaceSymbolProvider: true },
  listen: (connection, { fileByFile }) => {
    connection.onWorkspaceSymbol(fileByFile(workspaceSymbolsIn));
  },
};

/** The sections, named things and tables of a file whose names contain the letters of the query in order. */
export function workspaceSymbolsIn(
  path: string,
  { query }: Pick<WorkspaceSymbolParams, 'query'>,
  editor: Editor,
  workspace: Workspace,
): WorkspaceSymbol[] {
  const kind = fileKind(path);
  const file = kind && workspace.file(path);
  if (!kind || !file) return [];
  const uri = editor.uriOf(path);
  const found = (symbols: readonly DocumentSymbol[], container: string): WorkspaceSymbol[] =>
    symbols.flatMap(({ name, kind, selectionRange, children }) => [
      ...(holdsInOrder(name, query)
        ? [{ name, kind, containerName: container, location: { uri, range: selectionRange } }]
        : []),
      ...found(children ?? [], `${container}.${name}`),
    ]);
  return found(symbolsOf({ file, kind }), path.slice(path.lastIndexOf('/') + 1));
}

function holdsInOrder(name: string, letters: string): boolean {
  let at = 0;
  for (const letter of letters.toLowerCase()) {
    at = name.toLowerCase().indexOf(letter, at) + 1;
    if (at === 0) return false;
  }
  return true;
}
