import {
  type DocumentFilter,
  languages,
  type TextDocument,
  type TextEditor,
  window,
  workspace,
} from 'vscode';

/** The names of the files that Enginewright checks. */
export const ENGINE_FILES = '**/*.{engine,controller,run}.yaml';

/**
 * The files that Enginewright checks, on disk and in the virtual file systems of the open folders. Other schemes hold, for
 * example, the left side of a comparison, where findings would be in the way.
 */
export function engineFiles(): (DocumentFilter & { language: string; scheme: string; pattern: string })[] {
  const folders = (workspace.workspaceFolders ?? []).map(({ uri }) => uri.scheme);
  return [...new Set(['file', 'vscode-vfs', ...folders])].map((scheme) => ({
    language: 'yaml',
    scheme,
    pattern: ENGINE_FILES,
  }));
}

export const isRunFile = (document: TextDocument): boolean => document.uri.path.endsWith('.run.yaml');

export const isEngineFile = (document: TextDocument): boolean => languages.match(engineFiles(), document) > 0;

/** The editor that shows a document, if one does. */
export const visibleEditorOf = (document: TextDocument | undefined): TextEditor | undefined =>
  window.visibleTextEditors.find((editor) => editor.document === document);
