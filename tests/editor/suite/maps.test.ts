import assert from 'node:assert/strict';
import { suite, teardown, test } from 'mocha';
import * as vscode from 'vscode';
import { driven, picture, press, shown, type } from './driver.ts';
import { closeFiles, openFile, pause, rangeOf, until } from './helpers.ts';

const engine = 'samples/dotterel/dotterel-16t.engine.yaml';

/** Long enough for the editor to draw what it has been told. */
const drawn = () => pause(900);

/** The range of the first row of a table's values, from its first to its last number. */
function firstRow({ document }: vscode.TextEditor, table: string): vscode.Range {
  const text = document.getText();
  const row = /values:\s*\n\s*- \[ *([^\]]*)\]/g;
  row.lastIndex = text.indexOf(`  ${table}:`);
  const found = row.exec(text);
  assert.ok(found?.[1] !== undefined);
  const end = row.lastIndex - 1;
  return new vscode.Range(document.positionAt(end - found[1].length), document.positionAt(end));
}

function choose(editor: vscode.TextEditor, range: vscode.Range): void {
  editor.selection = new vscode.Selection(range.start, range.end);
  editor.revealRange(range, vscode.TextEditorRevealType.InCenter);
}

async function actions(document: vscode.TextDocument, range: vscode.Range): Promise<vscode.CodeAction[]> {
  return vscode.commands.executeCommand<vscode.CodeAction[]>(
    'vscode.executeCodeActionProvider',
    document.uri,
    range,
    vscode.CodeActionKind.RefactorRewrite.value,
    20,
  );
}

suite('Maps', () => {
  teardown(async () => {
    await vscode.commands.executeCommand('workbench.action.focusFirstEditorGroup');
    await vscode.commands.executeCommand('workbench.action.closeEditorsInOtherGroups');
    await closeFiles();
  });

  test('the panel shows the map under the cursor, and follows it', async () => {
    const editor = await openFile(engine);
    const row = firstRow(editor, 'volumetric_efficiency');
    choose(editor, new vscode.Range(row.start, row.start));
    await vscode.commands.executeCommand('enginewright.showMap');
    const tab = () => vscode.window.tabGroups.all.flatMap(({ tabs }) => tabs.map(({ label }) => label));
    await until('the panel', () => tab().includes('Volumetric efficiency'));
    await drawn();
    await picture('map-filling');
    choose(editor, new vscode.Range(firstRow(editor, 'advance').start, firstRow(editor, 'advance').start));
    await until('another map', () => tab().includes('Advance'));
    await drawn();
    await picture('map-advance');
    const curve = rangeOf(editor.document, '2.480');
    choose(editor, new vscode.Range(curve.start, curve.start));
    await drawn();
    await picture('map-curve');
  });

  test('contour and slices have room in a wide panel, in a light window too', async () => {
    const editor = await openFile(engine);
    const { document } = editor;
    choose(editor, new vscode.Range(firstRow(editor, 'advance').start, firstRow(editor, 'advance').start));
    const workbench = vscode.workspace.getConfiguration('workbench');
    const before = workbench.inspect('colorTheme')?.globalValue;
    await workbench.update('colorTheme', 'Default Light Modern', vscode.ConfigurationTarget.Global);
    await vscode.commands.executeCommand('enginewright.showMap');
    await drawn();
    await vscode.commands.executeCommand('workbench.action.closeSidebar');
    await vscode.commands.executeCommand('workbench.action.focusNextGroup');
    await vscode.commands.executeCommand('workbench.action.toggleMaximizeEditorGroup');
    await drawn();
    await picture('map-wide-light');
    await vscode.commands.executeCommand('workbench.action.toggleMaximizeEditorGroup');
    await workbench.update('colorTheme', before, vscode.ConfigurationTarget.Global);
    await vscode.commands.executeCommand('workbench.action.toggleSidebarVisibility');
    assert.ok(vscode.window.visibleTextEditors.some((one) => one.document === document));
  });

  test('another table of the same kind is laid over as a difference', async () => {
    const editor = await openFile(engine);
    const target = rangeOf(editor.document, '[  34,   38,   39');
    choose(editor, new vscode.Range(target.start.translate(3, 2), target.start.translate(3, 2)));
    await vscode.commands.executeCommand('workbench.action.closeSidebar');
    await vscode.commands.executeCommand(
      'enginewright.compareMap',
      'map_sets.sets.transit.apply.boost.target',
    );
    await drawn();
    await picture('map-difference');
    await vscode.commands.executeCommand('workbench.action.toggleSidebarVisibility');
    assert.equal(vscode.window.activeTextEditor?.document, editor.document);
  });

  test('a half-typed table stays in sight as it was', async () => {
    const editor = await openFile(engine);
    const row = firstRow(editor, 'advance');
    choose(editor, new vscode.Range(row.start, row.start));
    await vscode.commands.executeCommand('enginewright.showMap');
    await drawn();
    await editor.edit((edit) => edit.insert(row.start, '1, '));
    await drawn();
    await picture('map-half-typed');
    await vscode.commands.executeCommand('undo');
  });

  test('arrow keys in the panel move the cursor of the text', async () => {
    if (!driven) return;
    const editor = await openFile(engine);
    const row = firstRow(editor, 'advance');
    choose(editor, new vscode.Range(row.start, row.start));
    await vscode.commands.executeCommand('enginewright.showMap');
    await shown('.grid td[tabindex="0"]');
    await drawn();
    await vscode.commands.executeCommand('workbench.action.focusNextGroup');
    await drawn();
    // Two selection fields precede the grid.
    for (let i = 0; i < 3; i++) await press('Tab');
    await press('ArrowDown');
    await press('ArrowRight');
    const below = row.start.line + 1;
    await until('the cursor', () => editor.selection.active.line === below);
    await drawn();
    assert.match(editor.document.lineAt(below).text.slice(editor.selection.active.character), /^20\.0/);
    await picture('map-keys');
    await press('Enter');
    await until('the text', () => vscode.window.activeTextEditor?.document === editor.document);
  });

  test('scaling a selection shows each new number before it is written', async () => {
    const editor = await openFile(engine);
    const row = firstRow(editor, 'advance');
    choose(editor, row);
    const offered = await until('actions', async () => {
      const all = await actions(editor.document, row);
      return all.some(({ title }) => title === 'Scale cells…') ? all : undefined;
    });
    assert.ok(offered.some(({ title }) => /^Smooth 13 cells \(largest change .* deg at/.test(title)));
    if (!driven) return;
    void vscode.commands.executeCommand('enginewright.scaleCells');
    await pause(500);
    await type('-10 %');
    await drawn();
    await picture('cells-scale');
    await press('Enter');
    const line = row.start.line;
    await until('the new numbers', () => /- \[15\.3, 19\.4, /.test(editor.document.lineAt(line).text));
    await drawn();
    await picture('cells-scaled');
  });

  test('smoothing shows each new number and waits for a yes', async () => {
    if (!driven) return;
    const editor = await openFile(engine);
    const row = firstRow(editor, 'advance');
    const before = editor.document.getText();
    choose(editor, row);
    await drawn();
    void vscode.commands.executeCommand('enginewright.smoothCells');
    await drawn();
    await picture('cells-smooth');
    assert.equal(editor.document.getText(), before);
    await press('Enter');
    await until('the smoothed row', () => editor.document.getText() !== before);
  });

  test('a breakpoint is deleted with its column, the largest change shown first', async () => {
    if (!driven) return;
    const editor = await openFile(engine);
    const speeds = rangeOf(editor.document, '800, 1200, 1600, 2000, 2500');
    choose(editor, new vscode.Range(speeds.start, speeds.start));
    await drawn();
    void vscode.commands.executeCommand('enginewright.deleteBreakpoint');
    await drawn();
    await picture('cells-delete-breakpoint');
    await press('Enter');
    await until('the shorter axis', () =>
      editor.document.getText().includes('breakpoints: [1200, 1600, 2000, 2500'),
    );
    assert.match(editor.document.getText(), /- \[21\.5, 24\.5, 27\.0/);
  });
});
