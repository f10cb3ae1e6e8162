import type { DocumentLink } from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import { fileKind, resolvePath } from '../../shared/configuration/project.ts';
import { rootShape } from '../../shared/configuration/schemas.ts';
import type { Editor } from '../editor.ts';
import { rangeOf } from '../places.ts';
import type { Feature } from './feature.ts';

export const documentLinks: Feature = {
  capabilities: { documentLinkProvider: {} },
  listen: (connection, { from }) => {
    connection.onDocumentLinks(from((analysis, _, editor) => linksIn(analysis, editor)));
  },
};

/** Links to the engine and controller files that a file names. */
export function linksIn({ file, kind }: Analysis, editor: Editor): DocumentLink[] {
  return file.root.entries.flatMap(({ key, value }) => {
    const wanted = rootShape(kind).properties.get(key.text)?.file;
    if (!wanted || value.type !== 'scalar' || value.parent === undefined) return [];
    const path = resolvePath(file.path, value.text);
    if (fileKind(path) !== wanted) return [];
    const tooltip = wanted === 'engine' ? 'Open engine file' : 'Open controller file';
    return [{ range: rangeOf(file, value), target: editor.uriOf(path), tooltip }];
  });
}
