import assert from 'node:assert/strict';
import { suite, teardown, test } from 'mocha';
import * as vscode from 'vscode';
import { driven, picture, press } from './driver.ts';
import { closeFiles, hoverText, inlayHints, openFile, pause, rangeOf, until } from './helpers.ts';

const engine = 'samples/dotterel/dotterel-16t.engine.yaml';

/** Long enough for the editor to draw what it has been told. */
const drawn = () => pause(900);

/** The lens over the limits. */
async function verdicts(uri: vscode.Uri): Promise<string | undefined> {
  const lenses = await vscode.commands.executeCommand<vscode.CodeLens[]>(
    'vscode.executeCodeLensProvider',
    uri,
    100,
  );
  return lenses.map(({ command }) => command?.title ?? '').find((title) => title.includes('everywhere'));
}

suite('Bounds', () => {
  teardown(async () => {
    await vscode.commands.executeCommand('workbench.action.closeEditorsInOtherGroups');
    await closeFiles();
  });

  test('come when nobody types: beside the injectors, over the limits, and on hovering a limit', async () => {
    const { document } = await openFile(engine);
    const hint = await until('a bound beside the injectors', async () =>
      (await inlayHints(document)).find((one) => /≤ [\d.]+ % everywhere/.test(one.text)),
    );
    assert.equal(hint.line, rangeOf(document, 'static_flow:').start.line);
    const title = await until('the lens', () => verdicts(document.uri));
    assert.match(title, /^\d+ limits? holds? everywhere(?: · \d+ (?:broken|open))*$/);
    const text = await hoverText(document, 'maximum_duty');
    assert.match(text, /Over all states of the envelope/);
    await picture('bounds-in-text');
  });

  test('are marked as old after an edit, until they have been found again', async () => {
    const editor = await openFile(engine);
    const { document } = editor;
    const first = await until('the lens', () => verdicts(document.uri));
    await editor.edit((edit) => edit.replace(rangeOf(document, 'static_flow: 350'), 'static_flow: 250'));
    const old = await verdicts(document.uri);
    assert.equal(old, `${first} (before the last edit)`);
    const second = await until('new bounds', async () => {
      const title = await verdicts(document.uri);
      return title?.includes('before') ? undefined : title;
    });
    assert.notEqual(second, first);
  });

  test('have a page in the installation panel, and their state becomes an operating point', async () => {
    if (!driven) return;
    const { document } = await openFile(engine);
    await until('the lens', () => verdicts(document.uri));
    await vscode.commands.executeCommand('enginewright.showInstallation');
    await drawn();
    await vscode.commands.executeCommand('workbench.action.focusNextGroup');
    await drawn();
    // The pin plan, the bounds; then the heading and the first row.
    for (const key of ['Tab', 'ArrowRight', 'ArrowRight']) await press(key);
    await drawn();
    await picture('installation-bounds');
    for (const key of ['Tab', 'ArrowDown', 'Enter']) await press(key);
    await drawn();
    await picture('installation-bound-explained');
    // The close button, then the button that adds the state.
    for (const key of ['Tab', 'Tab', 'Enter']) await press(key);
    await until('the operating point', () => /^ {2}(?:highest|lowest)_\w+:/m.test(document.getText()));
  });
});
