import { type CompletionItem, CompletionItemKind } from 'vscode-languageserver';
import { stringify } from 'yaml';
import type { Analysis } from '../../../shared/analysis.ts';
import { type FileKind, fileKind, referenceTo } from '../../../shared/configuration/project.ts';
import type { Workspace } from '../../workspace.ts';
import type { Cursor } from './cursor.ts';

/** The files of a kind in the workspace, relative to this file; files based on this one are left out, as they would form a cycle. */
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

/** The number of path steps, with a step up counted twice, so that files in subfolders come first. */
function distance(reference: string): number {
  return reference.split('/').reduce((sum, step) => sum + (step === '..' ? 2 : 1), 0);
}
