import { type DocumentFilter, languages, type TextDocument } from 'vscode';

const patterns = ['**/*.engine.yaml', '**/*.controller.yaml', '**/*.run.yaml'];

/**
 * The files that Enginewright checks, on disk and in virtual workspaces. Other schemes hold, for example, the left side of
 * a comparison, where findings would be in the way.
 */
export const engineFiles: (DocumentFilter & { language: string; scheme: string; pattern: string })[] =
  patterns.flatMap((pattern) =>
    ['file', 'vscode-vfs'].map((scheme) => ({ language: 'yaml', scheme, pattern })),
  );

export const isRunFile = (document: TextDocument): boolean => document.uri.path.endsWith('.run.yaml');

export const isEngineFile = (document: TextDocument): boolean => languages.match(engineFiles, document) > 0;
