import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { suite, suiteSetup, teardown, test } from 'mocha';
import * as vscode from 'vscode';
import { picture } from '../suite/driver.ts';
import {
  checkOf,
  closeFiles,
  inlayHints,
  openFile,
  pause,
  until,
  waitForDiagnostics,
} from '../suite/helpers.ts';

const engine = 'dotterel/dotterel-16t.engine.yaml';
let original: string;

/** Long enough for the editor to draw what it has been told. */
const drawn = () => pause(1500);

suite('Pictures of the README', () => {
  suiteSetup(async () => {
    original = readFileSync(pathOf(engine), 'utf8');
    await vscode.commands.executeCommand('workbench.action.closeSidebar');
  });

  teardown(async () => {
    await vscode.commands.executeCommand('workbench.action.closePanel');
    await closeFiles();
    writeFileSync(pathOf(engine), original);
  });

  test('editor: derived values beside the text, a finding underlined and explained', async () => {
    const editor = await openChanged('static_flow: 350 cc/min', 'static_flow: 205 cc/min');
    await waitForDiagnostics(editor.document, (all) =>
      all.some((one) => checkOf(one) === 'injector-duty-high'),
    );
    await hovered(editor, 'static_flow: |205', { top: 'engine:' });
    await picture('editor');
  });

  test('hover-cell: what one cell of the filling map comes to', async () => {
    const editor = await openFile(engine);
    await until('hints', async () => (await inlayHints(editor.document)).length > 0);
    await hovered(editor, '86.0, 84.8, |83.4', { top: '  volumetric_efficiency:' });
    await picture('hover-cell');
  });

  test('finding: in the list of problems, with its numbers', async () => {
    const editor = await openChanged('overboost_cut: 168 kPa abs', 'overboost_cut: 149 kPa abs');
    await waitForDiagnostics(editor.document);
    show(editor, 'overboost_cut', { top: '  compressor:' });
    await vscode.commands.executeCommand('workbench.actions.view.problems');
    await drawn();
    await picture('finding');
  });

  test('completion: the keys that fit, each explained', async () => {
    const editor = await openChanged('    minimum_pulse: 1.2 ms\n', '    \n');
    show(editor, 'resistance: 12.4 ohm\n    |', { top: '  injectors:' });
    await vscode.commands.executeCommand('editor.action.triggerSuggest');
    await drawn();
    await vscode.commands.executeCommand('toggleSuggestionDetails');
    await drawn();
    await picture('completion');
  });
});

/** Opens the engine with one thing changed on disk, so that the window shows a saved file. */
async function openChanged(from: string, to: string): Promise<vscode.TextEditor> {
  if (!original.includes(from)) throw new Error(`There is no "${from}" in ${engine}.`);
  writeFileSync(pathOf(engine), original.replace(from, to));
  return openFile(engine);
}

function pathOf(name: string): string {
  const folder = vscode.workspace.workspaceFolders?.[0];
  if (folder === undefined) throw new Error('No folder is open.');
  return join(folder.uri.fsPath, name);
}

/** Puts the cursor at the `|` of the first such text, and the line of another text at the top of the window. */
function show(editor: vscode.TextEditor, place: string, { top }: { top: string }): void {
  const { document } = editor;
  const at = place.includes('|') ? place.indexOf('|') : 0;
  const cursor = document.positionAt(offsetOf(document, place.replace('|', '')) + at);
  editor.selection = new vscode.Selection(cursor, cursor);
  const line = document.positionAt(offsetOf(document, top));
  editor.revealRange(new vscode.Range(line, line), vscode.TextEditorRevealType.AtTop);
}

async function hovered(editor: vscode.TextEditor, place: string, { top }: { top: string }): Promise<void> {
  show(editor, place, { top });
  await drawn();
  await vscode.commands.executeCommand('editor.action.showHover');
  await drawn();
}

function offsetOf(document: vscode.TextDocument, text: string): number {
  const offset = document.getText().indexOf(text);
  if (offset < 0) throw new Error(`There is no "${text}" in ${document.fileName}.`);
  return offset;
}
