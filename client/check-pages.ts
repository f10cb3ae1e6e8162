import * as vscode from 'vscode';

/** Provides the page of a check, which its findings link to. */
export function checkPages(extension: vscode.Uri): vscode.TextDocumentContentProvider {
  let pages: Promise<Readonly<Record<string, string>>> | undefined;
  return {
    async provideTextDocumentContent({ path }) {
      const check = path.replace(/^\//, '').replace(/\.md$/, '');
      pages ??= read(vscode.Uri.joinPath(extension, 'dist', 'check-pages.json'));
      return (await pages)[check] ?? `This version of Enginewright has no check \`${check}\`.`;
    },
  };
}

async function read(uri: vscode.Uri) {
  return JSON.parse(new TextDecoder().decode(await vscode.workspace.fs.readFile(uri)));
}
