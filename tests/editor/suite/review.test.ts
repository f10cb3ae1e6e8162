import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { suite, suiteTeardown, teardown, test } from 'mocha';
import * as vscode from 'vscode';
import { picture, shown } from './driver.ts';
import { closeFiles, enginewright, inlayHints, openFile, pause, rangeOf, until } from './helpers.ts';

const engine = 'samples/dotterel/dotterel-16t.engine.yaml';

/** Long enough for the editor to draw what it has been told. */
const drawn = () => pause(900);

/** A line of the view: its label, directly followed by its detail. */
const line = (text: string): string => `.monaco-list-row:has-text("${text}")`;

async function replace(editor: vscode.TextEditor, from: string, to: string): Promise<void> {
  const range = rangeOf(editor.document, from);
  assert.ok(await editor.edit((edit) => edit.replace(range, to)));
}

/** The committed values shown in the text. */
async function oldValues({ document }: vscode.TextEditor): Promise<string[]> {
  return (await inlayHints(document)).map(({ text }) => text).filter((text) => text.startsWith('was '));
}

const waitForOldValues = (editor: vscode.TextEditor, wanted: readonly string[]) =>
  until(`the hints ${wanted.join(', ')}`, async () => {
    return JSON.stringify(await oldValues(editor)) === JSON.stringify(wanted);
  });

async function outcome({ document }: vscode.TextEditor) {
  return until('the review', () => enginewright().exports.review(document));
}

async function whyNone(editor: vscode.TextEditor): Promise<string> {
  const told = await outcome(editor);
  return 'why' in told ? told.why : '';
}

function pathOf(name: string): string {
  const [folder] = vscode.workspace.workspaceFolders ?? [];
  assert.ok(folder);
  return join(folder.uri.fsPath, name);
}

function git(...args: string[]): void {
  execFileSync('git', args, { cwd: pathOf('.'), stdio: 'ignore' });
}

suite('Review', () => {
  teardown(async () => {
    await vscode.commands.executeCommand('workbench.action.focusFirstEditorGroup');
    await vscode.commands.executeCommand('workbench.action.closeEditorsInOtherGroups');
    await closeFiles();
  });

  suiteTeardown(() => vscode.commands.executeCommand('workbench.view.explorer'));

  test('a file as it was committed has nothing to review', async () => {
    const editor = await openFile(engine);
    await until('activation', () => enginewright().isActive);
    const told = await outcome(editor);
    assert.ok('review' in told);
    assert.equal(told.review.text, 'Nothing changed in the engine.');
    await vscode.commands.executeCommand('enginewright.review.focus');
    await shown('text=Nothing changed in the engine.');
    await picture('review-nothing');
    assert.deepEqual(await oldValues(editor), []);
  });

  test('a changed value has its old one beside it, and the review tells what follows', async () => {
    const editor = await openFile(engine);
    await replace(editor, 'static_flow: 350 cc/min', 'static_flow: 205 cc/min');
    await waitForOldValues(editor, ['was 350 cc/min']);
    editor.revealRange(rangeOf(editor.document, 'static_flow'), vscode.TextEditorRevealType.InCenter);
    await vscode.commands.executeCommand('enginewright.review.focus');
    await shown(line('Injectors › Static flow350 cc/min → 205 cc/min'));
    await shown(line('take_off56.9 % → 94.0 %'));
    await drawn();
    await picture('review-stop');
    const told = await outcome(editor);
    assert.ok('review' in told);
    assert.equal(told.review.verdict, 'stop');
    assert.deepEqual(
      told.review.items.slice(1).map(({ label }) => label),
      ['Fuel', 'Findings', 'Derived values', 'Single faults made worse'],
    );
    await replace(editor, 'static_flow: 205 cc/min', 'static_flow: 0.35 L/min');
    await waitForOldValues(editor, []);
  });

  test('old values are shown and hidden by a command', async () => {
    const editor = await openFile(engine);
    await replace(editor, 'static_flow: 350 cc/min', 'static_flow: 340 cc/min');
    await waitForOldValues(editor, ['was 350 cc/min']);
    await vscode.commands.executeCommand('enginewright.toggleOldValues');
    await waitForOldValues(editor, []);
    await vscode.commands.executeCommand('enginewright.toggleOldValues');
    await waitForOldValues(editor, ['was 350 cc/min']);
  });

  test('a changed map is shown as how far each cell moved', async () => {
    const editor = await openFile(engine);
    await replace(editor, '88.6, 89.2, 89.4', '88.6, 91.2, 87.4');
    await waitForOldValues(editor, ['was 89.2', 'was 89.4']);
    await vscode.commands.executeCommand('enginewright.review.focus');
    await shown(line('Volumetric efficiency2 of 192 cells changed'));
    await drawn();
    await picture('review-map');
    const { start } = rangeOf(editor.document, '91.2, 87.4');
    const place = { uri: editor.document.uri.toString(), range: { start, end: start } };
    await vscode.commands.executeCommand('enginewright.showChangedMap', { place });
    const labels = () => vscode.window.tabGroups.all.flatMap(({ tabs }) => tabs.map(({ label }) => label));
    await until('the panel', () => labels().includes('Volumetric efficiency'));
    await vscode.commands.executeCommand('workbench.action.closeSidebar');
    await shown('text=compared with the committed version');
    await drawn();
    await picture('map-committed');
    await vscode.commands.executeCommand('workbench.action.toggleSidebarVisibility');
  });

  test('a change of the base is told in what is based on it', async () => {
    const base = await openFile(engine);
    await replace(base, 'static_flow: 350 cc/min', 'static_flow: 205 cc/min');
    const overlay = await openFile('samples/dotterel/dotterel-16t-mountain.engine.yaml');
    await until('the review', async () => {
      const told = await outcome(overlay);
      return 'review' in told && told.review.verdict === 'stop';
    });
    assert.deepEqual(await oldValues(overlay), []);
  });

  test('a commit makes the working text the one to hold against', async () => {
    const name = 'committed.engine.yaml';
    writeFileSync(pathOf(name), 'enginefile: 1\nengine: { bore: 76 mm }\n');
    git('add', name);
    git('commit', '-m', 'one');
    try {
      const editor = await openFile(name);
      await replace(editor, '76 mm', '77 mm');
      await waitForOldValues(editor, ['was 76 mm']);
      await editor.document.save();
      git('commit', '--all', '-m', 'two');
      await vscode.commands.executeCommand('git.refresh');
      await waitForOldValues(editor, []);
      await replace(editor, '77 mm', '78 mm');
      await waitForOldValues(editor, ['was 77 mm']);
    } finally {
      rmSync(pathOf(name));
      git('commit', '--all', '-m', 'three');
    }
  });

  test('another revision is chosen from a list and compared with, until the last commit is again', async () => {
    const name = 'revised.engine.yaml';
    writeFileSync(pathOf(name), 'enginefile: 1\nengine: { bore: 76 mm }\n');
    git('add', name);
    git('commit', '-m', 'A bore as it was bought');
    git('branch', 'as-bought');
    writeFileSync(pathOf(name), 'enginefile: 1\nengine: { bore: 77 mm }\n');
    git('commit', '--all', '-m', 'Bored out');
    try {
      const editor = await openFile(name);
      await until(
        'no old values',
        async () => (await outcome(editor)) && (await oldValues(editor)).length === 0,
      );
      await vscode.commands.executeCommand('git.refresh');
      void vscode.commands.executeCommand('enginewright.compareRevision');
      await shown('.quick-input-list .monaco-list-row:has-text("as-bought"):visible');
      await picture('review-revisions');
      await vscode.commands.executeCommand('workbench.action.closeQuickOpen');
      await vscode.commands.executeCommand('enginewright.compareRevision', 'as-bought');
      await waitForOldValues(editor, ['was 76 mm']);
      await shown('text=compared with as-bought');
      await picture('review-revision');
      const other = await openFile(engine);
      assert.deepEqual(await oldValues(other), []);
      await openFile(name);
      await vscode.commands.executeCommand('enginewright.compareCommit');
      await waitForOldValues(editor, []);
    } finally {
      rmSync(pathOf(name));
      git('commit', '--all', '-m', 'Gone');
    }
  });

  test('a file that was never committed is said to be so, in the view and in the map panel', async () => {
    const name = 'untracked.engine.yaml';
    const dwell =
      '{ x: { quantity: battery_voltage, unit: V, breakpoints: [8, 16] }, unit: ms, values: [4, 2] }';
    writeFileSync(pathOf(name), `enginefile: 1\nignition: { dwell: ${dwell} }\n`);
    try {
      const editor = await openFile(name);
      await vscode.commands.executeCommand('enginewright.review.focus');
      await shown(`text=${name} was never committed`);
      await picture('review-untracked');
      assert.match(await whyNone(editor), /was never committed/);
      assert.deepEqual(await oldValues(editor), []);
      const { start } = rangeOf(editor.document, '4, 2');
      editor.selection = new vscode.Selection(start, start);
      await vscode.commands.executeCommand('enginewright.compareMap', '@committed');
      await shown(
        'p:has-text("was never committed, so there is nothing to compare it with. Showing the table itself.")',
      );
      await drawn();
      await picture('map-untracked');
    } finally {
      await closeFiles();
      rmSync(pathOf(name));
    }
  });

  test('git switched off is said to be so', async () => {
    const editor = await openFile(engine);
    const settings = vscode.workspace.getConfiguration('git');
    await replace(editor, 'static_flow: 350 cc/min', 'static_flow: 340 cc/min');
    await waitForOldValues(editor, ['was 350 cc/min']);
    await settings.update('enabled', false, vscode.ConfigurationTarget.Global);
    try {
      await waitForOldValues(editor, []);
      await vscode.commands.executeCommand('enginewright.review.focus');
      await shown('text=Git is turned off (setting git.enabled)');
      await picture('review-git-off');
      assert.match(await whyNone(editor), /Git is turned off/);
    } finally {
      await settings.update('enabled', undefined, vscode.ConfigurationTarget.Global);
    }
    await waitForOldValues(editor, ['was 350 cc/min']);
  });
});
