import assert from 'node:assert/strict';
import * as vscode from 'vscode';
import { audit, picture, press, shown } from './driver.ts';
import { closeFiles, openFile, pause, select } from './helpers.ts';

const ENGINE = 'samples/dotterel/dotterel-16t.engine.yaml';
const RUN = 'samples/dotterel/after-injectors.run.yaml';

/** A panel, how it is opened, and what it shows first. */
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

const workbench = () => vscode.workspace.getConfiguration('workbench');

/** Shows every panel in a colour theme and fails with what axe finds in them. */
export async function auditPanels(theme: string): Promise<void> {
  const before = workbench().inspect('colorTheme')?.globalValue;
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
  await vscode.commands.executeCommand('workbench.action.focusFirstEditorGroup');
  await vscode.commands.executeCommand('workbench.action.closeEditorsInOtherGroups');
  await closeFiles();
  await workbench().update('colorTheme', before, vscode.ConfigurationTarget.Global);
  assert.deepEqual(found, []);
}
