import { type CompletionItem, CompletionItemKind } from 'vscode-languageserver/node';
import { stringify } from 'yaml';
import type { Analysis } from '../../../shared/analysis.ts';
import { type FileKind, fileKind, referenceTo } from '../../../shared/configuration/project.ts';
import type { Workspace } from '../../workspace.ts';
import type { Cursor } from './cursor.ts';

/** The files of a kind in the workspace, as this file names them; none that is based on this one, which would be a circle. */
export function fileItems(
  kind: FileKind,
  { file }: Analysis,
  { isQuoted }: Cursor,
  workspace: Workspace,
): CompletionItem[] {
  const circular = new Set([file.path, ...workspace.enginesWith(file.path)]);
  return workspace
    .paths()
    .filter((path) => fileKind(path) === kind && !circular.has(path))
    .map((path) => referenceTo(path, file.path))
    .sort((a, b) => distance(a) - distance(b) || (a < b ? -1 : 1))
    .map((label) => ({
      label,
      kind: CompletionItemKind.File,
      insertText: isQuoted ? label : stringify(label, { lineWidth: 0 }).trimEnd(),
    }));
}

/** Folders to go through, a way up counting twice: what lies below is nearer than what lies beside. */
function distance(reference: string): number {
  return reference.split('/').reduce((sum, step) => sum + (step === '..' ? 2 : 1), 0);
}
