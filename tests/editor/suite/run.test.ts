import assert from 'node:assert/strict';
import { suite, teardown, test } from 'mocha';
import * as vscode from 'vscode';
import { picture, shown } from './driver.ts';
import {
  closeFiles,
  completions,
  openFile,
  pause,
  rangeOf,
  setText,
  until,
  waitForDiagnostics,
} from './helpers.ts';

const run = 'samples/dotterel/after-injectors.run.yaml';

const tabs = () => vscode.window.tabGroups.all.flatMap((group) => group.tabs.map(({ label }) => label));

/** The panel has the title of the run. */
const isOurs = (label: string): boolean => label.startsWith('Full throttle on the brake');

suite('Measured runs', () => {
  teardown(async () => {
    await vscode.commands.executeCommand('workbench.action.closeEditorsInOtherGroups');
    await closeFiles();
    await pause(300);
  });

  test('a run is shown beside its file: the course, the curves and the departures', async () => {
    await openFile(run);
    await vscode.commands.executeCommand('enginewright.showRun');
    await until('the panel', () => tabs().some(isOurs));
    await shown('.plots canvas');
    await shown('td.believed');
    await pause(900);
    await picture('run-panel');
  });

  test('the code action takes the measured filling into the map, in its own precision', async () => {
    const editor = await openFile(run);
    const actions = await vscode.commands.executeCommand<vscode.CodeAction[]>(
      'vscode.executeCodeActionProvider',
      editor.document.uri,
      new vscode.Range(0, 0, 0, 0),
    );
    const action = actions.find(({ title }) => title.startsWith('Take the measured filling'));
    assert.equal(action?.title, 'Take the measured filling into 12 cells');
    assert.ok(await vscode.workspace.applyEdit(action.edit!));
    const engine = await openFile('samples/dotterel/dotterel-16t.engine.yaml');
    assert.ok(engine.document.isDirty);
    // 89.7 was the cell at 4800 rpm and 145 kPa.
    const line = engine.document.lineAt(rangeOf(engine.document, '[74.4, 77.7').start).text;
    assert.match(
      line,
      /\[74\.4, 77\.7, 80\.5, 83\.0, 85\.1, 86\.9, 88\.2, \d\d\.\d, \d\d\.\d, \d\d\.\d, 9[45]\.\d/,
    );
  });

  test('a run file is checked and completed', async () => {
    const editor = await openFile(run);
    const text = editor.document.getText();
    await setText(editor, text.replace('kind: brake', 'kind: break'));
    const found = await waitForDiagnostics(editor.document);
    assert.match(found.map(({ message }) => message).join('\n'), /brake/);
    await setText(editor, `${text}stea`);
    assert.ok((await completions(editor.document, '\nstea')).includes('steady'));
  });
});
