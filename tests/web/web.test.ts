import assert from 'node:assert/strict';
import { suite, teardown, test } from 'mocha';
import * as vscode from 'vscode';
import { picture, say, shown } from '../editor/suite/driver.ts';
import {
  checkOf,
  closeFiles,
  enginewright,
  inlayHints,
  openFile,
  pause,
  select,
  setText,
  until,
  waitForDiagnostics,
} from '../editor/suite/helpers.ts';
import { SCHEME } from './memory-files.ts';

const engine = 'samples/dotterel/dotterel-16t.engine.yaml';
const overlay = 'samples/dotterel/dotterel-16t-mountain.engine.yaml';

const uriOf = (name: string) => vscode.Uri.joinPath(vscode.workspace.workspaceFolders![0]!.uri, name);
const textOf = async (name: string) =>
  new TextDecoder().decode(await vscode.workspace.fs.readFile(uriOf(name)));
const write = (name: string, text: string) =>
  vscode.workspace.fs.writeFile(uriOf(name), new TextEncoder().encode(text));
const isError = ({ severity }: vscode.Diagnostic) => severity === vscode.DiagnosticSeverity.Error;

suite('On the web', () => {
  teardown(closeFiles);

  test('the extension runs in the browser, on files that are on no disk, and is soon ready', async () => {
    assert.equal(typeof globalThis.process, 'undefined');
    assert.equal(vscode.workspace.workspaceFolders?.[0]?.uri.scheme, SCHEME);
    const opened = performance.now();
    const { document } = await openFile(engine);
    await until('activation', () => enginewright().isActive);
    await until('the language server', () => enginewright().exports.serverRunning);
    await until('hints', async () => (await inlayHints(document)).length > 0);
    say(
      `    values shown ${((performance.now() - opened) / 1000).toFixed(2)} s after opening the first file`,
    );
    // The controller is another file, which the client has sent.
    await pause(500);
    assert.deepEqual(vscode.languages.getDiagnostics(document.uri).filter(isError), []);
    await picture('web');
  });

  test('what needs Git says why there is nothing', async () => {
    const { document } = await openFile(engine);
    const outcome = await enginewright().exports.review(document);
    assert.ok(outcome && 'why' in outcome);
    assert.match(outcome.why, /Git extension is disabled or, as in a browser, missing/);
    await vscode.commands.executeCommand('enginewright.review.focus');
    await shown('.tree-explorer-viewlet-tree-view .message:has-text("Git extension")');
    await picture('web-review');
    await vscode.commands.executeCommand('workbench.action.closeSidebar');
  });

  test('a file that is not open is read again when it changes', async () => {
    const { document } = await openFile(overlay);
    await waitForDiagnostics(document, (all) => !all.some(isError));
    const before = await textOf(engine);
    await write(engine, before.replace(/static_flow: \d+ cc\/min/, 'static_flow: 120 cc/min'));
    await waitForDiagnostics(document, (all) => all.some((one) => checkOf(one) === 'injector-duty-over-100'));
    await write(engine, before);
    await waitForDiagnostics(document, (all) => !all.some(isError));
  });

  test('a file is missed when it is deleted, and found when it is created', async () => {
    const editor = await openFile('first.engine.yaml');
    await setText(editor, 'based_on: ./new.engine.yaml\n');
    const missing = (all: readonly vscode.Diagnostic[]) =>
      all.some(({ message }) => message.includes('new.engine.yaml'));
    await waitForDiagnostics(editor.document, missing);
    await write('new.engine.yaml', await textOf(engine));
    await waitForDiagnostics(editor.document, (all) => !missing(all));
    await vscode.workspace.fs.delete(uriOf('new.engine.yaml'));
    await waitForDiagnostics(editor.document, missing);
  });

  test('a base file in a folder that is not searched is read when it is needed', async () => {
    const base = 'samples/dotterel/node_modules/base.engine.yaml';
    await write(base, (await textOf(engine)).replaceAll(' ./', ' ../'));
    const editor = await openFile(overlay);
    await setText(
      editor,
      'based_on: ./node_modules/base.engine.yaml\noperating_points:\n  take_off: { speed: 5000 rpm }\n',
    );
    await until('values of the base file', async () =>
      (await inlayHints(editor.document)).some(({ text }) => text.includes('kPa abs')),
    );
    await waitForDiagnostics(editor.document, (all) => !all.some(isError));
  });

  test('a panel is drawn by its own script', async () => {
    const editor = await openFile(engine);
    select(editor, '17.0, 21.5');
    await vscode.commands.executeCommand('enginewright.showMap');
    const tabs = () => vscode.window.tabGroups.all.flatMap((group) => group.tabs.map(({ label }) => label));
    await until('the panel', () => tabs().includes('Advance'));
    await shown('.grid td[tabindex="0"]');
    await pause(500);
    await picture('web-map');
    await vscode.commands.executeCommand('workbench.action.closeEditorsInOtherGroups');
  });

  test('the page of a check is there', async () => {
    const page = await vscode.workspace.openTextDocument(
      vscode.Uri.parse('enginewright-check:/injector-duty-over-100.md'),
    );
    assert.match(page.getText(), /^# .+\n[\s\S]*## What to do/);
  });

  test('a restart brings the language server back', async () => {
    const { document } = await openFile(engine);
    await vscode.commands.executeCommand('enginewright.restartServer');
    assert.equal(enginewright().exports.serverRunning, true);
    await until('hints', async () => (await inlayHints(document)).length > 0);
  });
});
