import assert from 'node:assert/strict';
import { isDeepStrictEqual } from 'node:util';
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

/** What is offered for a yes. */
const offer = '.quick-input-list .monaco-list-row:visible';

/** From the panel into its grid: two selection fields, the buttons and the line for a new value precede it. */
async function intoGrid(): Promise<void> {
  for (let i = 0; i < 5; i++) await press('Tab');
  await shown('.grid td:focus');
}

/** The panel with the keyboard in the cell of the advance map where the cursor of the text is: its first. */
async function workOnAdvance(): Promise<vscode.TextEditor> {
  const editor = await openFile(engine);
  const row = firstRow(editor, 'advance');
  choose(editor, new vscode.Range(row.start, row.start));
  await vscode.commands.executeCommand('enginewright.showMap');
  await shown('.grid td.here');
  await drawn();
  await vscode.commands.executeCommand('workbench.action.focusNextGroup');
  await drawn();
  await intoGrid();
  return editor;
}

/** A row of the advance map as it is written: its numbers. */
function advance({ document }: vscode.TextEditor, row: number): string[] {
  const { line } = firstRow({ document } as vscode.TextEditor, 'advance').start;
  const [, numbers = ''] = /\[([^\]]*)\]/.exec(document.lineAt(line + row).text) ?? [];
  return numbers.split(',').map((number) => number.trim());
}

/** Puts a text on the clipboard as a user would: a page may use the clipboard only from what has the keyboard. */
async function copyText(content: string): Promise<void> {
  await vscode.window.showTextDocument(await vscode.workspace.openTextDocument({ content }));
  await vscode.commands.executeCommand('editor.action.selectAll');
  await press('Control+c');
  await drawn();
  await vscode.commands.executeCommand('workbench.action.revertAndCloseActiveEditor');
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
    await shown('.charts.wide');
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
    await shown('text=/compared with map_sets/');
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
    await intoGrid();
    await press('ArrowDown');
    await press('ArrowRight');
    const below = row.start.line + 1;
    await until('the cursor', () => editor.selection.active.line === below);
    await drawn();
    assert.match(editor.document.lineAt(below).text.slice(editor.selection.active.character), /^20\.0/);
    await picture('map-keys');
    await press('Control+Enter');
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
    await shown(offer);
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
    await shown(offer);
    await picture('cells-delete-breakpoint');
    await press('Enter');
    await until('the shorter axis', () =>
      editor.document.getText().includes('breakpoints: [1200, 1600, 2000, 2500'),
    );
    assert.match(editor.document.getText(), /- \[21\.5, 24\.5, 27\.0/);
  });

  test('a value typed in the panel is previewed, written, and undone', async () => {
    if (!driven) return;
    const editor = await workOnAdvance();
    const before = editor.document.getText();
    const old = advance(editor, 0);
    await type('18.5');
    await shown('.grid td.new');
    await shown('text=Set 1 cell to 18.5');
    await picture('map-typed');
    assert.equal(editor.document.getText(), before);
    await press('Enter');
    await until('the new value', () => advance(editor, 0)[0] === '18.5');
    assert.deepEqual(advance(editor, 0).slice(1), old.slice(1));
    // As in a spreadsheet, the cell below is next.
    const below = firstRow(editor, 'advance').start.line + 1;
    await until('the cell below', () => editor.selection.active.line === below);
    await shown('.grid td.here:focus');
    await press('Control+z');
    await until('the text as it was', () => editor.document.getText() === before);
    await shown('.grid td.here:focus');
    await press('Control+y');
    await until('the new value again', () => advance(editor, 0)[0] === '18.5');
    await shown('.grid td.here:focus');
  });

  test('a value given up with Escape, or refused, changes nothing', async () => {
    if (!driven) return;
    const editor = await workOnAdvance();
    const before = editor.document.getText();
    await type('18');
    await shown('.grid td.new');
    await press('Escape');
    await shown('.grid td.here:focus');
    await type('+x');
    await press('Enter');
    await shown('text=Enter a number to add');
    await picture('map-refused');
    assert.equal(editor.document.getText(), before);
  });

  test('a rectangle is selected with the Shift key in panel and text alike, and scaled as one', async () => {
    if (!driven) return;
    const editor = await workOnAdvance();
    const old = [0, 1, 2].map((row) => advance(editor, row));
    for (const key of ['Shift+ArrowDown', 'Shift+ArrowDown', 'Shift+ArrowRight']) await press(key);
    await until('three rows of two cells in the text', () =>
      isDeepStrictEqual(
        editor.selections.map((one) => editor.document.getText(one).split(',').length),
        [2, 2, 2],
      ),
    );
    await shown('text=3 × 2 cells selected');
    await type('*1.1');
    await shown('text=Scale 6 cells by 1.1');
    await picture('map-rectangle');
    await press('Enter');
    const scaled = old.map((row) => row.map((cell, i) => (i < 2 ? (Number(cell) * 1.1).toFixed(1) : cell)));
    await until('the scaled cells', () => advance(editor, 0)[0] === scaled[0]![0]);
    assert.deepEqual(
      [0, 1, 2].map((row) => advance(editor, row)),
      scaled,
    );
  });

  test('a rectangle selected in the text is selected in the panel', async () => {
    if (!driven) return;
    const editor = await workOnAdvance();
    const first = firstRow(editor, 'advance').start;
    editor.selection = new vscode.Selection(first, first.translate(1, 3));
    await until('the rectangle', async () => {
      await shown('.grid td.selected >> nth=1');
      return true;
    });
  });

  test('cells of a spreadsheet are pasted, and copied from here to there; another size is refused', async () => {
    if (!driven) return;
    await copyText('1.5\t2.5\r\n3.5\t4.5\r\n');
    const editor = await workOnAdvance();
    const old = [0, 1, 2, 3].map((row) => advance(editor, row));
    for (const key of ['Shift+ArrowDown', 'Shift+ArrowRight', 'Control+v']) await press(key);
    await until('the pasted cells', () => advance(editor, 1)[1] === '4.5');
    assert.deepEqual(advance(editor, 0), ['1.5', '2.5', ...old[0]!.slice(2)]);
    assert.deepEqual(advance(editor, 1), ['3.5', '4.5', ...old[1]!.slice(2)]);
    await shown('text=Paste 4 cells: largest change');
    await shown('.grid tr:nth-child(2) td:nth-of-type(2):has-text("4.5")');
    for (const key of ['Control+c', 'Control+Home', 'ArrowDown', 'ArrowDown']) await press(key);
    await until('the third row', () => editor.selection.isEmpty);
    await press('Control+v');
    await until('the copied cells', () => advance(editor, 3)[1] === '4.5');
    assert.deepEqual(advance(editor, 2), ['1.5', '2.5', ...old[2]!.slice(2)]);
    const before = editor.document.getText();
    for (const key of ['Shift+ArrowRight', 'Control+v']) await press(key);
    await shown('text=2 rows × 2 columns copied, 1 row × 2 columns selected');
    await picture('map-paste-refused');
    assert.equal(editor.document.getText(), before);
  });

  test('the buttons do what the commands do', async () => {
    if (!driven) return;
    const editor = await workOnAdvance();
    const columns = advance(editor, 0).length;
    await press('Shift+Tab');
    await press('Shift+Tab');
    // The eighth button deletes the column of the cursor.
    for (let i = 0; i < 7; i++) await press('ArrowRight');
    await press('Enter');
    await shown(offer);
    await picture('map-delete-column');
    await press('Enter');
    await until('a column less', () => advance(editor, 0).length === columns - 1);
  });
});
