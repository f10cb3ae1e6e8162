import assert from 'node:assert/strict';
import { suite, teardown, test } from 'mocha';
import * as vscode from 'vscode';
import { driven, picture, press } from './driver.ts';
import { closeFiles, openFile, pause, until } from './helpers.ts';

const engine = 'samples/dotterel/dotterel-16t.engine.yaml';

/** Long enough for the editor to draw what it has been told. */
const drawn = () => pause(1500);

const tabs = () => vscode.window.tabGroups.all.flatMap((group) => group.tabs.map(({ label }) => label));
const isOurs = (label: string): boolean => label === 'Dotterel 16T glider tug';

/** Shows a page of the installation beside its text by its command, with the focus in the panel. */
async function show(command: string): Promise<vscode.TextEditor> {
  const editor = await openFile(engine);
  await vscode.commands.executeCommand(command);
  await until('the panel', () => tabs().some(isOurs));
  await drawn();
  await vscode.commands.executeCommand('workbench.action.focusNextGroup');
  await until('the focus', () => isOurs(vscode.window.tabGroups.activeTabGroup.activeTab?.label ?? ''));
  await drawn();
  return editor;
}

async function pressAll(...keys: readonly string[]): Promise<void> {
  for (const key of keys) await press(key);
}

const lineAtCursor = ({ document, selection }: vscode.TextEditor): string =>
  document.lineAt(selection.active).text;

suite('Harness and faults', () => {
  teardown(async () => {
    await vscode.commands.executeCommand('workbench.action.focusFirstEditorGroup');
    await vscode.commands.executeCommand('workbench.action.closeEditorsInOtherGroups');
    await closeFiles();
    // The extension learns of a closed panel slightly later than the window closes it.
    await until('the panel is closed', () => !tabs().some(isOurs));
    await pause(300);
  });

  test('a circuit of the harness drawing leads to its line by the keyboard', async () => {
    if (!driven) return;
    const editor = await show('enginewright.showHarness');
    await picture('harness');
    // The tabs, then the circuits in the order of the file.
    await pressAll('Tab', 'Tab', 'ArrowDown', 'ArrowDown');
    await drawn();
    await picture('harness-focused');
    await press('Enter');
    await until('the line', () => /^ {4}pump_supply:/.test(lineAtCursor(editor)));
    assert.equal(editor.document.getText(editor.selection), 'pump_supply');
  });

  test('a row of the fault table leads to what fails', async () => {
    if (!driven) return;
    const editor = await show('enginewright.showFaultTable');
    await picture('faults');
    await pressAll('Tab', 'Tab', 'Enter');
    await until('the line', () => /^ {2}manifold_pressure:/.test(lineAtCursor(editor)));
    assert.equal(editor.document.getText(editor.selection), 'manifold_pressure');
  });

  test('the drawing follows what is typed, in a light window too', async () => {
    if (!driven) return;
    const editor = await show('enginewright.showHarness');
    const workbench = vscode.workspace.getConfiguration('workbench');
    const before = workbench.inspect('colorTheme')?.globalValue;
    await workbench.update('colorTheme', 'Default Light Modern', vscode.ConfigurationTarget.Global);
    const at = editor.document.getText().indexOf('    pump_feed:');
    const position = editor.document.positionAt(at);
    await editor.edit((edit) =>
      edit.insert(position, '    added: { from: supply, to: devices.display.supply }\n'),
    );
    await drawn();
    await picture('harness-light');
    await workbench.update('colorTheme', before, vscode.ConfigurationTarget.Global);
  });
});
