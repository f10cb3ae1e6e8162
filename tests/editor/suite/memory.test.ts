import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { suite, teardown, test } from 'mocha';
import * as vscode from 'vscode';
import { driven, picture, press, shown } from './driver.ts';
import { closeFiles, enginewright, inlayHints, openFile, pause, rangeOf, until } from './helpers.ts';

/** The built command line, which the packaged extension does not carry. */
declare const PROGRAM: string;

const engine = 'samples/dotterel/dotterel-16t.engine.yaml';

/** Long enough for the editor to draw what it has been told. */
const drawn = () => pause(900);

const tabs = () => vscode.window.tabGroups.all.flatMap((group) => group.tabs.map(({ label }) => label));

const isOurs = (label: string): boolean => label === 'Memory of Dotterel 16T glider tug';

function pathOf(name: string): string {
  const [folder] = vscode.workspace.workspaceFolders ?? [];
  assert.ok(folder);
  return join(folder.uri.fsPath, name);
}

suite('Memory', () => {
  teardown(async () => {
    await vscode.commands.executeCommand('workbench.action.focusFirstEditorGroup');
    await vscode.commands.executeCommand('workbench.action.closeEditorsInOtherGroups');
    await closeFiles();
    await until('the panel is closed', () => !tabs().some(isOurs));
    await pause(300);
  });

  test('the image stands beside the text; a byte leads to its value', async () => {
    const editor = await openFile(engine);
    const flow = rangeOf(editor.document, '350 cc/min');
    editor.selection = new vscode.Selection(flow.start, flow.start);
    await vscode.commands.executeCommand('enginewright.showMemory');
    await until('the panel', () => tabs().some(isOurs));
    await shown('button.byte');
    await picture('memory');
    if (!driven) return;
    await vscode.commands.executeCommand('workbench.action.focusNextGroup');
    await until('the focus', () => isOurs(vscode.window.tabGroups.activeTabGroup.activeTab?.label ?? ''));
    await drawn();
    // The first byte is that of the identity, whose address is in the controller file.
    await press('Tab');
    await shown('button.byte:focus');
    await press('ArrowRight');
    await shown('button.byte:nth-of-type(2):focus');
    await press('Home');
    await press('Enter');
    await until('the controller file', () =>
      vscode.window.activeTextEditor?.document.fileName.endsWith('four-channel.controller.yaml'),
    );
    const opened = vscode.window.activeTextEditor!;
    assert.match(opened.document.lineAt(opened.selection.active).text, /identity: \{ at: 0x0004/);
  });

  test('the text is reviewed against an image, until it is compared with the commit again', async () => {
    const editor = await openFile(engine);
    const { document } = editor;
    const file = pathOf('readback.bin');
    execFileSync(process.execPath, [PROGRAM, 'image', pathOf(engine), '--output', file]);
    const image = readFileSync(file);
    // The flow of the injectors, in tenths of a cc/min.
    image.writeUInt16LE(3452, 0x48);
    writeFileSync(file, image);
    await vscode.commands.executeCommand('enginewright.compareImage', vscode.Uri.file(file));
    await until('the review of the text', async () => {
      const outcome = await enginewright().exports.review(document);
      return (
        outcome &&
        'review' in outcome &&
        outcome.review.oldValues.some(({ text }) => text === 'was 345.2 cc/min')
      );
    });
    await drawn();
    await picture('memory-compared');
    await vscode.commands.executeCommand('enginewright.compareCommit');
    await until('the review against the commit', async () => {
      const outcome = await enginewright().exports.review(document);
      return outcome && 'review' in outcome && outcome.review.items.length === 0;
    });
    rmSync(file);
  });

  test('a hint says what the controller keeps', async () => {
    const editor = await openFile(engine);
    const flow = rangeOf(editor.document, '350 cc/min');
    assert.ok(await editor.edit((edit) => edit.replace(flow, '350.04 cc/min')));
    await until('the hint', async () =>
      (await inlayHints(editor.document)).some(({ text }) => text.includes('kept as 350.00 cc/min')),
    );
    await picture('memory-hint');
  });
});
