import {
  type CodeAction,
  CodeActionKind,
  type CodeActionParams,
  type Range,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import { mayBeAccepted } from '../../shared/checks/accept.ts';
import type { Finding, FindingFix, Place } from '../../shared/checks/finding.ts';
import type { SourceFile } from '../../shared/source/source-file.ts';
import type { Editor } from '../editor.ts';
import { rangeOfPlace } from '../places.ts';
import { plainText } from '../plain-text.ts';
import { cellActionsFor } from './cell-actions.ts';
import { diagnosticOf } from './diagnostics.ts';
import type { Feature } from './feature.ts';
import { runActionsFor } from './run-actions.ts';

const FIX_ALL = `${CodeActionKind.SourceFixAll}.enginewright`;

export const codeActions: Feature = {
  capabilities: {
    codeActionProvider: {
      codeActionKinds: [CodeActionKind.QuickFix, CodeActionKind.RefactorRewrite, FIX_ALL],
    },
  },
  listen: (connection, { from }) => {
    const ofText = from((analysis, params: CodeActionParams, editor) => [
      ...codeActionsFor(analysis, params, editor),
      ...cellActionsFor(analysis, params, editor),
    ]);
    const ofRun = from(runActionsFor);
    connection.onCodeAction(async (params, token) => [
      ...((await ofText(params, token)) ?? []),
      ...((await ofRun(params, token)) ?? []),
    ]);
  },
};

/** The fixes of the findings in the range, the actions to accept these findings, and all safe fixes of the file at once. */
export function codeActionsFor(analysis: Analysis, params: CodeActionParams, editor: Editor): CodeAction[] {
  const { context, range } = params;
  const wants = (kind: string) =>
    context.only?.some((wanted) => kind === wanted || kind.startsWith(`${wanted}.`)) ?? kind !== FIX_ALL;
  const touched = analysis.findings.filter((finding) => overlap(rangeOfPlace(analysis, finding), range));
  return [
    ...(wants(CodeActionKind.QuickFix) ? touched.flatMap((one) => quickFixes(analysis, one, editor)) : []),
    ...(wants(CodeActionKind.QuickFix) ? touched.flatMap((one) => acceptances(analysis, one, editor)) : []),
    ...(wants(FIX_ALL) ? fixAll(analysis, editor) : []),
  ];
}

function quickFixes(analysis: Analysis, finding: Finding, editor: Editor): CodeAction[] {
  const safe = finding.fixes.filter((fix) => fix.safety === 'safe');
  return finding.fixes.map((fix) => ({
    title: plainText(fix.title),
    kind: CodeActionKind.QuickFix,
    diagnostics: [diagnosticOf(analysis, finding, editor)],
    // Several safe fixes mean different things, so none of them is applied by default.
    isPreferred: safe.length === 1 && fix === safe[0],
    edit: editOf(analysis, fix.edits, editor),
  }));
}

function editOf(analysis: Analysis, edits: FindingFix['edits'], { uriOf }: Editor): WorkspaceEdit {
  const changes: Record<string, TextEdit[]> = {};
  for (const edit of edits) {
    const uri = uriOf(edit.file);
    changes[uri] ??= [];
    changes[uri].push({ range: rangeOfPlace(analysis, edit), newText: edit.text });
  }
  return { changes };
}

/**
 * Inserts the comment and leaves the reason to the calibrator; the finding remains until there is a reason. A finding
 * about a value in a base file or controller file can be accepted there, for every file that uses it, or in this file,
 * which causes it.
 */
function acceptances(analysis: Analysis, finding: Finding, editor: Editor): CodeAction[] {
  if (!mayBeAccepted(finding.rule)) return [];
  const places: Place[] = finding.writtenAt ? [finding, finding.writtenAt] : [finding];
  return places.flatMap((place) => acceptanceAt(analysis, finding, place, editor));
}

function acceptanceAt(
  analysis: Analysis,
  finding: Finding,
  { file: path, start }: Place,
  editor: Editor,
): CodeAction[] {
  const file = analysis.files.find((one) => one.path === path);
  if (!file) return [];
  const { line } = file.lines.position(start);
  if (awaitsReason(file, line, finding.rule)) return [];
  const indent = /^ */.exec(file.lines.line(line))![0];
  const at = { line, character: indent.length };
  const edit = (comment: string): TextEdit => ({
    range: { start: at, end: at },
    newText: `${comment}\n${indent}`,
  });
  const uri = editor.uriOf(path);
  const comment = `# accept ${finding.rule}: `;
  const isElsewhere = file !== analysis.file;
  const where = isElsewhere ? ` in ${path.slice(path.lastIndexOf('/') + 1)}` : '';
  return [
    {
      title: `Accept ${finding.rule} with a reason${where}…`,
      kind: CodeActionKind.QuickFix,
      diagnostics: [diagnosticOf(analysis, finding, editor)],
      // The cursor can be placed only in the file that the user is editing.
      edit:
        editor.snippetEdits && !isElsewhere
          ? {
              documentChanges: [
                { textDocument: { uri, version: null }, edits: [asSnippet(edit(`${comment}$0`))] },
              ],
            }
          : { changes: { [uri]: [edit(comment)] } },
    },
  ];
}

/** Whether the line already has a comment above it that accepts the finding but has no reason yet. */
function awaitsReason({ lines }: SourceFile, line: number, rule: string): boolean {
  const empty = new RegExp(`^\\s*# accept +${rule} *:? *$`);
  for (let above = line - 1; above >= 0 && /^\s*#/.test(lines.line(above)); above--) {
    if (empty.test(lines.line(above))) return true;
  }
  return false;
}

function asSnippet({ range, newText }: TextEdit) {
  return { range, snippet: { kind: 'snippet' as const, value: newText } };
}

/** Every safe fix of this file; of two that change the same text, the first. */
function fixAll(analysis: Analysis, editor: Editor): CodeAction[] {
  const own = (fix: FindingFix) =>
    fix.safety === 'safe' && fix.edits.every((edit) => edit.file === analysis.file.path);
  // Kept in the order of the text, like the findings, so a search from the end is short.
  const taken: FindingFix['edits'][number][] = [];
  for (const { fixes } of analysis.findings) {
    const safe = fixes.filter(own);
    const [only] = safe;
    if (safe.length !== 1 || !only) continue;
    const isFree = only.edits.every((edit) => {
      const before = taken[lastAt(taken, edit.end)];
      return !before || before.end < edit.start;
    });
    if (isFree) for (const edit of only.edits) taken.splice(lastAt(taken, edit.start) + 1, 0, edit);
  }
  if (taken.length === 0) return [];
  const title = 'Apply all fixes that do not change the meaning';
  return [{ title, kind: FIX_ALL, edit: editOf(analysis, taken, editor) }];
}

function overlap(a: Range, b: Range): boolean {
  return !isBefore(a.end, b.start) && !isBefore(b.end, a.start);
}

function isBefore(a: Range['start'], b: Range['start']): boolean {
  return a.line < b.line || (a.line === b.line && a.character < b.character);
}

/** The index of the last of the sorted places that starts at or before an offset; -1 for none. */
const lastAt = (places: readonly Place[], offset: number): number =>
  places.findLastIndex(({ start }) => start <= offset);
