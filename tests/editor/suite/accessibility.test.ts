import assert from 'node:assert/strict';
import { suite, suiteTeardown, teardown, test } from 'mocha';
import * as vscode from 'vscode';
import { audit, driven, picture, press, shown } from './driver.ts';
import { closeFiles, openFile, pause, select } from './helpers.ts';

const ENGINE = 'samples/dotterel/dotterel-16t.engine.yaml';
const RUN = 'samples/dotterel/after-injectors.run.yaml';

const THEMES = [
  'Default Dark Modern',
  'Default Light Modern',
  'Default High Contrast',
  'Default High Contrast Light',
];

/** A panel, how it is opened, what it shows first, and how many further pages it has. */
const PANELS = [
  { name: 'map', file: ENGINE, at: '88.6, 89.2', command: 'enginewright.showMap', first: '.grid td' },
  { name: 'curve', file: ENGINE, at: '2.480', command: 'enginewright.showMap', first: '.grid td' },
  {
    name: 'memory',
    file: ENGINE,
    at: '350 cc/min',
    command: 'enginewright.showMemory',
    first: 'button.byte',
  },
  { name: 'run', file: RUN, at: 'runfile', command: 'enginewright.showRun', first: '.plots canvas' },
];

/** The pages of the installation panel, as its tabs have them. */
const INSTALLATION_PAGES = 6;

suite('Accessibility', () => {
  const workbench = () => vscode.workspace.getConfiguration('workbench');
  const before = workbench().inspect('colorTheme')?.globalValue;

  teardown(async () => {
    await vscode.commands.executeCommand('workbench.action.focusFirstEditorGroup');
    await vscode.commands.executeCommand('workbench.action.closeEditorsInOtherGroups');
    await closeFiles();
  });

  suiteTeardown(() => workbench().update('colorTheme', before, vscode.ConfigurationTarget.Global));

  for (const theme of THEMES)
    test(`axe finds nothing in any panel in ${theme}`, async function () {
      if (!driven) return this.skip(); // The script runs axe.
      await workbench().update('colorTheme', theme, vscode.ConfigurationTarget.Global);
      const found: string[] = [];
      const look = (what: string) => audit().catch((error: Error) => found.push(`${what}: ${error.message}`));
      for (const { name, file, at, command, first } of PANELS) {
        select(await openFile(file), at);
        await vscode.commands.executeCommand(command);
        await shown(first);
        await pause(300);
        await picture(`${name}-${theme.replaceAll(' ', '-')}`);
        await look(name);
        await vscode.commands.executeCommand('workbench.action.closeEditorsInOtherGroups');
      }
      await openFile(ENGINE);
      await vscode.commands.executeCommand('enginewright.showInstallation');
      await shown('#panel [role=tab][aria-selected=true]');
      await vscode.commands.executeCommand('workbench.action.focusNextGroup');
      await pause(300);
      await press('Tab');
      for (let page = 0; page < INSTALLATION_PAGES; page++) {
        await look(`page ${page + 1} of the installation`);
        await press('ArrowRight');
        await pause(600);
      }
      assert.deepEqual(found, []);
    });
});
