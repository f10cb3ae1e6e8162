import * as vscode from 'vscode';
import type { Enginewright } from '../../../client/extension.ts';

// Nothing here measures time; a loaded machine must not turn a slow test into a failed one.
const limit = 60_000;

/** The packaged extension under test. */
export function enginewright(): vscode.Extension<Enginewright> {
  const extension = vscode.extensions.getExtension<Enginewright>('enginewright.enginewright');
  if (extension === undefined) throw new Error('Enginewright is not installed in this editor.');
  return extension;
}

/** Waits until `value` returns something other than undefined and false, and returns it. */
export async function until<T>(
  what: string,
  value: () => T | Promise<T>,
): Promise<Exclude<T, undefined | false>> {
  const deadline = Date.now() + limit;
  for (;;) {
    const found = await value();
    if (found !== undefined && found !== false) return found as Exclude<T, undefined | false>;
    if (Date.now() > deadline) throw new Error(`Waited ${limit / 1000} s in vain: ${what}.`);
    await pause(20);
  }
}

export function pause(milliseconds: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, milliseconds));
}

/** Opens a file of the workspace, such as `samples/NAME/NAME.engine.yaml`. */
export async function openFile(name: string): Promise<vscode.TextEditor> {
  const folder = vscode.workspace.workspaceFolders?.[0];
  if (folder === undefined) throw new Error('No folder is open.');
  const document = await vscode.workspace.openTextDocument(vscode.Uri.joinPath(folder.uri, name));
  return vscode.window.showTextDocument(document, { preview: false });
}

/** Restores every open file to its text on disk and closes it, so that the next test starts afresh. */
export async function closeFiles(): Promise<void> {
  while (vscode.window.activeTextEditor !== undefined) {
    await vscode.commands.executeCommand('workbench.action.revertAndCloseActiveEditor');
  }
}

/** Replaces the whole text in the editor by `text`; the file on disk stays unchanged. */
export async function setText(editor: vscode.TextEditor, text: string): Promise<void> {
  const { document } = editor;
  const everything = new vscode.Range(document.positionAt(0), document.positionAt(document.getText().length));
  if (!(await editor.edit((edit) => edit.replace(everything, text))))
    throw new Error('The text was not taken.');
}

/** The range of the first `text` in the document; throws if there is none, which is a mistake in the test. */
export function rangeOf(document: vscode.TextDocument, text: string): vscode.Range {
  const offset = document.getText().indexOf(text);
  if (offset < 0) throw new Error(`There is no "${text}" in ${document.fileName}.`);
  return new vscode.Range(document.positionAt(offset), document.positionAt(offset + text.length));
}

/** Selects the first `text` in the editor and scrolls it into the middle of the window. */
export function select(editor: vscode.TextEditor, text: string): void {
  const range = rangeOf(editor.document, text);
  editor.selection = new vscode.Selection(range.start, range.start);
  editor.revealRange(range, vscode.TextEditorRevealType.InCenter);
}

/**
 * Waits until `accept` is true for the diagnostics of a document; by default, until there are any. With `(found) =>
 * found.length === 0`, until there are none.
 */
export function waitForDiagnostics(
  document: vscode.TextDocument,
  accept: (found: vscode.Diagnostic[]) => boolean = (found) => found.length > 0,
): Promise<vscode.Diagnostic[]> {
  return until(`diagnostics of ${document.fileName}`, () => {
    const found = vscode.languages.getDiagnostics(document.uri);
    return accept(found) ? found : undefined;
  });
}

/** The check that a diagnostic comes from, such as `injector-duty-over-100`. */
export function checkOf(diagnostic: vscode.Diagnostic): string {
  const { code } = diagnostic;
  return String(typeof code === 'object' ? code.value : (code ?? ''));
}

/** The whole text of the hover over the first `text`, as Markdown. */
export async function hoverText(document: vscode.TextDocument, text: string): Promise<string> {
  const hovers = await vscode.commands.executeCommand<vscode.Hover[]>(
    'vscode.executeHoverProvider',
    document.uri,
    rangeOf(document, text).start,
  );
  const contents = hovers.flatMap((hover) => hover.contents);
  return contents.map((content) => (typeof content === 'string' ? content : content.value)).join('\n\n');
}

/** The inlay hints of a document, each with its line (from 0) and its text. */
export async function inlayHints(document: vscode.TextDocument): Promise<{ line: number; text: string }[]> {
  const hints = await vscode.commands.executeCommand<vscode.InlayHint[]>(
    'vscode.executeInlayHintProvider',
    document.uri,
    new vscode.Range(0, 0, document.lineCount, 0),
  );
  return hints.map(({ position, label }) => ({
    line: position.line,
    text: typeof label === 'string' ? label : label.map((part) => part.value).join(''),
  }));
}

/** The labels that completion offers at the end of the first `text`. */
export async function completions(document: vscode.TextDocument, text: string): Promise<string[]> {
  const { items } = await vscode.commands.executeCommand<vscode.CompletionList>(
    'vscode.executeCompletionItemProvider',
    document.uri,
    rangeOf(document, text).end,
  );
  return items.map(({ label }) => (typeof label === 'string' ? label : label.label));
}

/** The quick fixes offered in a range. */
export async function quickFixes(
  document: vscode.TextDocument,
  range: vscode.Range,
): Promise<vscode.CodeAction[]> {
  const actions = await vscode.commands.executeCommand<vscode.CodeAction[]>(
    'vscode.executeCodeActionProvider',
    document.uri,
    range,
    vscode.CodeActionKind.QuickFix.value,
    20, // This many are resolved, which adds their edits.
  );
  return actions.filter((action) => action.kind?.contains(vscode.CodeActionKind.QuickFix));
}

/** Applies the one quick fix in the range whose title matches. */
export async function applyQuickFix(
  document: vscode.TextDocument,
  range: vscode.Range,
  title: RegExp,
): Promise<void> {
  const offered = await quickFixes(document, range);
  const chosen = offered.filter((action) => title.test(action.title));
  const [action] = chosen;
  if (action === undefined || chosen.length > 1) {
    const titles = offered.map((fix) => fix.title).join('; ') || 'none';
    throw new Error(`${chosen.length} quick fixes match ${title}. Offered: ${titles}.`);
  }
  if (action.edit !== undefined && !(await vscode.workspace.applyEdit(action.edit))) {
    throw new Error(`The edit of "${action.title}" was not taken.`);
  }
  if (action.command !== undefined) {
    await vscode.commands.executeCommand(action.command.command, ...(action.command.arguments ?? []));
  }
}
