import { execFileSync } from 'node:child_process';
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { suite, suiteSetup, teardown, test } from 'mocha';
import * as vscode from 'vscode';
import { picture, press, resize, type } from '../suite/driver.ts';
import {
  checkOf,
  closeFiles,
  inlayHints,
  openFile,
  pause,
  until,
  waitForDiagnostics,
} from '../suite/helpers.ts';

const engine = 'dotterel-16t.engine.yaml';
const controller = 'four-channel.controller.yaml';

/** Long enough for the editor to draw everything. */
const drawn = () => pause(2000);

suite('Pictures of the README', () => {
  const sample = new Map<string, string>();

  suiteSetup(async () => {
    for (const name of [engine, controller]) sample.set(name, readFileSync(pathOf('dotterel', name), 'utf8'));
    clear();
    await vscode.commands.executeCommand('workbench.action.closeSidebar');
  });

  teardown(async () => {
    await vscode.commands.executeCommand('workbench.action.closePanel');
    await vscode.commands.executeCommand('workbench.action.focusFirstEditorGroup');
    await vscode.commands.executeCommand('workbench.action.closeEditorsInOtherGroups');
    await closeFiles();
    clear();
  });

  // First, because the list of problems should contain only this one's findings.
  test('finding: a slipped digit in a map, with its numbers in the list of problems', async () => {
    const editor = await openChanged('finding', '88.6, 89.2, 89.4', '88.6, 98.2, 89.4');
    await waitForCheck(editor, 'cell-outlier');
    show(editor, '88.6, |98.2', '  volumetric_efficiency:');
    await vscode.commands.executeCommand('workbench.actions.view.problems');
    await drawn();
    await picture('finding');
  });

  test('editor: derived values beside the text, a finding underlined and explained', async () => {
    const editor = await openChanged('editor', 'static_flow: 350 cc/min', 'static_flow: 205 cc/min');
    await waitForCheck(editor, 'injector-duty-over-100');
    // New hints close a hover; those of bounds come last.
    await until('bounds', async () =>
      (await inlayHints(editor.document)).some(({ text }) => text.includes('everywhere')),
    );
    show(editor, 'static_flow: |205', '  rated_speed:');
    await showHover();
    await picture('editor');
  });

  test('hover-cell: what one cell of the filling map comes to', async () => {
    const editor = await openChanged('hover-cell');
    await until('hints', async () => (await inlayHints(editor.document)).length > 0);
    show(editor, '89.2, |88.7, 87.6', '  volumetric_efficiency:');
    await showHover();
    await picture('hover-cell');
  });

  test('map: as grid, contour and slices, with the operating points on it', async () => {
    await resize(1000, 850);
    const editor = await openChanged('map');
    await until('hints', async () => (await inlayHints(editor.document)).length > 0);
    show(editor, '15.5, |16.0, 16.0', '  advance:');
    await vscode.commands.executeCommand('enginewright.showMap');
    await drawn();
    await vscode.commands.executeCommand('workbench.action.focusNextGroup');
    await vscode.commands.executeCommand('workbench.action.toggleMaximizeEditorGroup');
    await drawn();
    await picture('map');
    await resize(1000, 600);
  });

  test('installation: what the engine comes to at each operating point, one value explained', async () => {
    await showInstallation('installation', 1000, 760);
    // The tabs, the filter, the table.
    await pressAll(...times(2, 'Tab'));
    await type('injector');
    await pressAll('Tab', ...times(3, 'ArrowRight'), 'Enter', 'Enter', 'ArrowDown', 'Enter');
    await drawn();
    await picture('installation');
    await resize(1000, 600);
  });

  test('pins: the pin plan, with a sensor on the pin of an injector', async () => {
    await showInstallation('pins', 1000, 880, 'pin: A3', 'pin: C1');
    // The tabs, the controller, the lists, then connectors A, B and C.
    await pressAll('Tab', 'ArrowRight', ...times(5, 'Tab'), 'Enter');
    await drawn();
    await picture('pins');
    await resize(1000, 600);
  });

  test('sensor: what a thermistor reads over the volts of its input', async () => {
    await showInstallation('sensor', 1000, 560);
    await pressAll('Tab', 'End', 'Tab', ...times(4, 'ArrowDown'));
    await drawn();
    await picture('sensor');
    await resize(1000, 600);
  });

  test('completion: the keys that fit, each explained', async () => {
    const sensor = '  fuel_temperature:\n    measures: fuel_temperature\n    kind: thermistor\n    ';
    const editor = await openChanged('completion', 'sensors:\n', `sensors:\n${sensor}\n`);
    await until('hints', async () => (await inlayHints(editor.document)).length > 0);
    show(editor, `${sensor}|`, '  compressor:');
    await drawn();
    await vscode.commands.executeCommand('editor.action.triggerSuggest');
    await drawn();
    await press('Control+Space'); // opens the explanation beside the list
    for (let key = 0; key < 4; key++) await press('ArrowDown');
    await drawn();
    await picture('completion');
  });

  test('review: what a change does to the engine, before it is committed', async () => {
    await resize(1000, 460);
    const editor = await openChanged('review');
    execFileSync('git', ['add', '--all'], { cwd: pathOf() });
    execFileSync('git', ['commit', '--quiet', '--message', 'Before'], { cwd: pathOf() });
    await vscode.commands.executeCommand('git.refresh');
    await replace(editor, 'static_flow: 350 cc/min', 'static_flow: 240 cc/min');
    await replace(editor, 'maximum_duty: 85 %', 'maximum_duty: 80 %');
    await vscode.commands.executeCommand('enginewright.review.focus');
    await drawn(); // The focused part is widened.
    for (let step = 0; step < 3; step++)
      await vscode.commands.executeCommand('workbench.action.increaseViewSize');
    await until('old values', async () =>
      (await inlayHints(editor.document)).some(({ text }) => /^was /.test(text)),
    );
    show(editor, 'static_flow: |240', 'fuel:');
    await drawn();
    await picture('review');
    await vscode.commands.executeCommand('workbench.action.closeSidebar');
    await resize(1000, 600);
  });

  /** Shows only the installation panel in a window of this size, focused. */
  async function showInstallation(
    folder: string,
    width: number,
    height: number,
    ...change: string[]
  ): Promise<void> {
    await resize(width, height);
    const editor = await openChanged(folder, ...change);
    await until('hints', async () => (await inlayHints(editor.document)).length > 0);
    await vscode.commands.executeCommand('enginewright.showInstallation');
    await drawn();
    await vscode.commands.executeCommand('workbench.action.focusNextGroup');
    await vscode.commands.executeCommand('workbench.action.toggleMaximizeEditorGroup');
    await drawn();
  }

  /** Copies the installation into its own folder, with a change if one is given, and opens it. */
  function openChanged(folder: string, from = '', to = ''): Promise<vscode.TextEditor> {
    mkdirSync(pathOf(folder));
    for (const [name, text] of sample) writeFileSync(pathOf(folder, name), text);
    const text = sample.get(engine) ?? '';
    if (!text.includes(from)) throw new Error(`There is no "${from}" in ${engine}.`);
    writeFileSync(pathOf(folder, engine), text.replace(from, to));
    return openFile(`${folder}/${engine}`);
  }
});

/** Restores the initial workspace, but keeps its repository. */
function clear(): void {
  for (const name of readdirSync(pathOf())) if (name !== '.git') rmSync(pathOf(name), { recursive: true });
}

async function replace(editor: vscode.TextEditor, from: string, to: string): Promise<void> {
  const start = offsetOf(editor.document, from);
  const [begin, end] = [start, start + from.length].map((offset) => editor.document.positionAt(offset));
  await editor.edit((edit) => edit.replace(new vscode.Range(begin!, end!), to));
}

const times = (count: number, key: string): string[] => Array.from({ length: count }, () => key);

async function pressAll(...keys: readonly string[]): Promise<void> {
  for (const key of keys) await press(key);
}

function pathOf(...parts: string[]): string {
  const folder = vscode.workspace.workspaceFolders?.[0];
  if (folder === undefined) throw new Error('No folder is open.');
  return join(folder.uri.fsPath, ...parts);
}

async function waitForCheck({ document }: vscode.TextEditor, check: string): Promise<void> {
  await waitForDiagnostics(document, (all) => all.some((one) => checkOf(one) === check));
}

/** Puts the cursor at the `|` in a text, and the line of another text at the top of the window. */
function show(editor: vscode.TextEditor, place: string, top: string): void {
  const { document } = editor;
  const cursor = document.positionAt(offsetOf(document, place.replace('|', '')) + place.indexOf('|'));
  editor.selection = new vscode.Selection(cursor, cursor);
  const line = document.positionAt(offsetOf(document, top));
  editor.revealRange(new vscode.Range(line, line), vscode.TextEditorRevealType.AtTop);
}

async function showHover(): Promise<void> {
  await drawn();
  await vscode.commands.executeCommand('editor.action.showHover');
  await drawn();
}

function offsetOf(document: vscode.TextDocument, text: string): number {
  const offset = document.getText().indexOf(text);
  if (offset < 0) throw new Error(`There is no "${text}" in ${document.fileName}.`);
  return offset;
}
