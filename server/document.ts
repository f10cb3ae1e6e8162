import type { TextDocumentsConfiguration } from 'vscode-languageserver';
import type { Rewriting } from '../shared/source/source-file.ts';

/** An open document as the editor sends it: its version and the changes that led to it. */
export interface Document {
  readonly uri: string;
  readonly version: number;
  readonly changes: readonly Rewriting[];
}

/** Keeps no text: the workspace holds it in chunks, of which an edit changes few. */
export const documentsByEdits: TextDocumentsConfiguration<Document> = {
  create: (uri, _language, version, text) => ({ uri, version, changes: [{ text }] }),
  update: ({ uri }, changes, version) => ({ uri, version, changes }),
};
