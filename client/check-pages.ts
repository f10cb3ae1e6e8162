import type * as vscode from 'vscode';
import type { LanguageServer } from './language-server.ts';

/** Provides the page of a check, which its findings link to. */
export function checkPages(server: LanguageServer): vscode.TextDocumentContentProvider {
  return {
    async provideTextDocumentContent({ path }) {
      const check = path.replace(/^\//, '').replace(/\.md$/, '');
      const page = await server.ask('enginewright/checkPage', { check });
      return page ?? `This version of Enginewright has no check \`${check}\`.`;
    },
  };
}
