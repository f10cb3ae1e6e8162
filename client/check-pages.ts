import type * as vscode from 'vscode';
import type { LanguageServer } from './language-server.ts';

/** Pages of checks are documents of this scheme, `enginewright-check:/injector-duty-high.md`; they need no network. */
export const checkPageScheme = 'enginewright-check';

/** Gives the page of a check, to which its findings lead. */
export function checkPages(server: LanguageServer): vscode.TextDocumentContentProvider {
  return {
    async provideTextDocumentContent({ path }) {
      const check = path.replace(/^\//, '').replace(/\.md$/, '');
      const page = await server.ask<string | null>('enginewright/checkPage', { check });
      return page ?? `There is no check \`${check}\` in this version of Enginewright.`;
    },
  };
}
