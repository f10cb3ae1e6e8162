import assert from 'node:assert/strict';
import { suite, teardown, test } from 'mocha';
import * as vscode from 'vscode';
import { driven, picture, press, resize, type } from './driver.ts';
import { closeFiles, openFile, pause, rangeOf, until } from './helpers.ts';

const engine = 'samples/dotterel/dotterel-16t.engine.yaml';

/** Long enough for the editor to draw what it has been told. */
const drawn = () => pause(900);

const tabs = () => vscode.window.tabGroups.all.flatMap((group) => group.tabs.map(({ label }) => label));

/** The panel has the title of the installation. */
const isOurs = (label: string): boolean => label === 'Dotterel 16T glider tug';

/** Shows the installation of a file beside its text, with the focus in the panel. */
async function show(name = engine): Promise<vscode.TextEditor> {
  const editor = await openFile(name);
  await vscode.commands.executeCommand('enginewright.showInstallation');
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

const times = (count: number, key: string): string[] => Array.from({ length: count }, () => key);

suite('Installation', () => {
  teardown(async () => {
    await vscode.commands.executeCommand('workbench.action.focusFirstEditorGroup');
    await vscode.commands.executeCommand('workbench.action.closeEditorsInOtherGroups');
    await closeFiles();
    // The extension learns of a closed panel slightly later than the window closes it.
    await until('the panel is closed', () => !tabs().some(isOurs));
    await pause(300);
  });

  test('a value is explained, and its inputs lead to their lines', async () => {
    if (!driven) return;
    const editor = await show();
    await picture('installation-values');
    // The tabs, the filter, then the table.
    await pressAll('Tab', 'Tab');
    await type('injector');
    await pressAll('Tab', ...times(3, 'ArrowRight'), 'Enter', 'Enter');
    await drawn();
    await picture('installation-sorted');
    await pressAll('Shift+Tab', 'Control+A');
    await type('injector pulse');
    await pressAll('Tab', 'ArrowDown', 'ArrowRight', 'Enter');
    await drawn();
    await picture('installation-explained');
    // The close button, then fuel and flow (derived), the grade of the density, and the number of injectors.
    await pressAll(...times(5, 'Tab'), 'Enter');
    await until('the line', () =>
      /per_cylinder: 1/.test(editor.document.lineAt(editor.selection.active).text),
    );
    assert.equal(editor.document.getText(editor.selection), '1');
  });

  test('it follows what is typed: a wrong pin is marked by shape and word, and the one left is free', async () => {
    if (!driven) return;
    const editor = await show();
    await pressAll('Tab', 'ArrowRight');
    await drawn();
    await picture('installation-pins');
    const pin = rangeOf(editor.document, 'pin: A3');
    await editor.edit((edit) => edit.replace(pin, 'pin: C1'));
    await drawn();
    // The controller, the lists, then the pins of connector A.
    await pressAll(...times(3, 'Tab'), 'ArrowRight', 'ArrowRight', 'Enter');
    await drawn();
    await picture('installation-pin-free');
    // Connectors B and C follow; the first pin of C has two connections.
    await pressAll('Tab', 'Tab', 'Home', 'Enter');
    await drawn();
    await picture('installation-pin-wrong');
    // The four connectors of the harness, the close button, the oil pressure sensor.
    await pressAll(...times(6, 'Tab'), 'Enter');
    await until('the pin', () => editor.document.getText(editor.selection) === 'C1');
    assert.equal(editor.selection.active.line, pin.start.line);
  });

  test('what the controller says of a pin is a step away, and its engine stays in sight', async () => {
    if (!driven) return;
    await show();
    await pressAll('Tab', 'ArrowRight', ...times(3, 'Tab'), 'Enter');
    await drawn();
    // The other connectors, six with those of the harness, then the close button, the sensor, the pin.
    await pressAll(...times(7, 'Tab'), ...times(2, 'Tab'), 'Enter');
    await until('the pin', () => {
      const { document, selection } = vscode.window.activeTextEditor ?? {};
      const isController = document?.fileName.endsWith('four-channel.controller.yaml');
      return isController && selection && /^ {2}A1: /.test(document!.lineAt(selection.active).text);
    });
    await drawn();
    assert.ok(tabs().some(isOurs));
    await picture('installation-controller');
  });

  test('all pages have room in a wide panel, in a light window too', async () => {
    if (!driven) return;
    await show();
    const workbench = vscode.workspace.getConfiguration('workbench');
    const before = workbench.inspect('colorTheme')?.globalValue;
    await workbench.update('colorTheme', 'Default Light Modern', vscode.ConfigurationTarget.Global);
    await pressAll('Tab', 'End', 'Tab', ...times(4, 'ArrowDown'));
    await drawn();
    await picture('installation-sensor-light');
    await resize(1280, 900);
    await vscode.commands.executeCommand('workbench.action.closeSidebar');
    await vscode.commands.executeCommand('workbench.action.toggleMaximizeEditorGroup');
    await vscode.commands.executeCommand('workbench.action.focusActiveEditorGroup');
    await drawn();
    await picture('installation-sensor-wide');
    // An editor returning to a panel puts the focus before the element that had it.
    await pressAll('Tab', ...times(3, 'ArrowDown'));
    await drawn();
    await picture('installation-thermocouple');
    await pressAll('Shift+Tab', 'Home');
    await drawn();
    await picture('installation-values-wide');
    await pressAll('ArrowRight');
    await drawn();
    await picture('installation-pins-light');
    await pressAll('Tab', 'Tab', 'Space');
    await drawn();
    await picture('installation-pins-listed');
    await vscode.commands.executeCommand('workbench.action.toggleMaximizeEditorGroup');
    await vscode.commands.executeCommand('workbench.action.toggleSidebarVisibility');
    await workbench.update('colorTheme', before, vscode.ConfigurationTarget.Global);
    await resize(1280, 800);
  });
});
