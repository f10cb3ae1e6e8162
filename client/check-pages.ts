import type * as vscode from 'vscode';
import type { LanguageServer } from './language-server.ts';

/** Gives the page of a check, to which its findings lead. */
export function checkPages(server: LanguageServer): vscode.TextDocumentContentProvider {
  return {
    async provideTextDocumentContent({ path }) {
      const check = path.replace(/^\//, '').replace(/\.md$/, '');
      const page = await server.ask('enginewright/checkPage', { check });
      return page ?? `There is no check \`${check}\` in this version of Enginewright.`;
    },
  };
}
