import type { TextDocumentsConfiguration } from 'vscode-languageserver/node';
import type { Rewriting } from '../shared/source/source-file.ts';

/** An open document as the editor tells of it: which version it is, and what was written for it. */
export interface Document {
  readonly uri: string;
  readonly version: number;
  readonly changes: readonly Rewriting[];
}

/** Keeps no text: the workspace has it, cut into the pieces of which an edit changes few. */
export const documentsAsTold: TextDocumentsConfiguration<Document> = {
  create: (uri, _language, version, text) => ({ uri, version, changes: [{ text }] }),
  update: ({ uri }, changes, version) => ({ uri, version, changes }),
};
