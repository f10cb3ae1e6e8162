import { type DocumentFilter, languages, type TextDocument } from 'vscode';

const patterns = ['**/*.engine.yaml', '**/*.controller.yaml'];

/**
 * The files that Enginewright looks after: on disk and in a virtual workspace. Other schemes hold the left
 * side of a comparison and the like, where findings would only be in the way.
 */
export const engineFiles: (DocumentFilter & { language: string; scheme: string; pattern: string })[] =
  patterns.flatMap((pattern) =>
    ['file', 'vscode-vfs'].map((scheme) => ({ language: 'yaml', scheme, pattern })),
  );

export const isEngineFile = (document: TextDocument): boolean => languages.match(engineFiles, document) > 0;
