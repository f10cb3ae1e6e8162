import assert from 'node:assert/strict';
import { suite, teardown, test } from 'mocha';
import * as vscode from 'vscode';
import { driven, picture, press } from './driver.ts';
import {
  applyQuickFix,
  checkOf,
  closeFiles,
  completions,
  hoverText,
  inlayHints,
  openFile,
  pause,
  rangeOf,
  select,
  setText,
  until,
  waitForDiagnostics,
} from './helpers.ts';

const engine = 'samples/dotterel/dotterel-16t.engine.yaml';
const overlay = 'based_on: ./dotterel-16t.engine.yaml\n';
const overlaid = 'samples/dotterel/dotterel-16t-mountain.engine.yaml';

/** Long enough for the editor to draw what it has been told. */
const drawn = () => pause(600);

suite('Features', () => {
  teardown(async () => {
    await vscode.commands.executeCommand('workbench.action.closePanel');
    await closeFiles();
  });

  test('diagnostics appear, each leading to the page of its check', async () => {
    const { document } = await openFile('samples/broken/injectors-too-small.engine.yaml');
    const found = await waitForDiagnostics(document, (all) =>
      all.some((one) => checkOf(one) === 'injector-duty-over-100'),
    );
    const duty = found.find((one) => checkOf(one) === 'injector-duty-over-100');
    assert.ok(duty);
    assert.equal(duty.source, 'enginewright');
    assert.match(duty.message, /\d %/);
    const { target } = duty.code as { target: vscode.Uri };
    assert.equal(target.toString(), 'enginewright-check:/injector-duty-over-100.md');
    await vscode.commands.executeCommand('workbench.actions.view.problems');
    await drawn();
    await picture('diagnostics');
    const page = await vscode.workspace.openTextDocument(target);
    assert.match(page.getText(), /^# .+\n[\s\S]*## What to do/);
    await vscode.commands.executeCommand('workbench.action.closePanel');
    await vscode.commands.executeCommand('vscode.open', target);
    await pause(2500);
    await picture('check-page');
  });

  test('inlay hints show derived values where they follow', async () => {
    const editor = await openFile(engine);
    const hints = await until('hints', async () => {
      const given = await inlayHints(editor.document);
      return given.length > 0 ? given : undefined;
    });
    const point = rangeOf(editor.document, 'take_off:').start.line;
    const shown = hints.find(({ line }) => line === point);
    assert.match(shown?.text ?? '', /^= \d+ kPa abs · duty [\d.]+ % · [\d.]+ kW/);
    select(editor, 'operating_points:');
    await drawn();
    await picture('inlay-hints-points');
    select(editor, 'bore:');
    await drawn();
    await picture('inlay-hints-engine');
    select(editor, 'dwell:');
    await drawn();
    await picture('inlay-hints-dwell');
  });

  test('hover explains a value with its formula, and a cell with its coordinates', async () => {
    const editor = await openFile(engine);
    const bore = await until('hover', async () => (await hoverText(editor.document, 'bore:')) || undefined);
    assert.match(bore, /f_k = ζ · a \/ \(π · B\)/);
    assert.match(bore, /Cylinder bore\./);
    await show(editor, 'bore:', 'hover-key');
    await show(editor, 'take_off:', 'hover-point');
    const values = editor.document
      .getText()
      .indexOf('values:', rangeOf(editor.document, 'volumetric_efficiency:').end.line);
    assert.ok(values > 0);
    const row = /volumetric_efficiency:[\s\S]*?values:\s*\n\s*- \[\s*([\d.]+)/.exec(
      editor.document.getText(),
    );
    assert.ok(row);
    const offset = row.index + row[0].length - 1;
    const cell = editor.document.positionAt(offset);
    const hovers = await vscode.commands.executeCommand<vscode.Hover[]>(
      'vscode.executeHoverProvider',
      editor.document.uri,
      cell,
    );
    const said = hovers
      .flatMap(({ contents }) => contents.map((one) => (one as vscode.MarkdownString).value))
      .join();
    assert.match(said, /at engine speed `\d+ rpm`, manifold pressure `\d+ kPa abs`/);
    assert.match(said, /Injector duty/);
    editor.selection = new vscode.Selection(cell, cell);
    await show(editor, undefined, 'hover-cell');
  });

  test('a quick fix mends the file', async () => {
    const { document } = await openFile('samples/broken/boost-cut-without-reference.engine.yaml');
    const [found] = await waitForDiagnostics(document, (all) =>
      all.some((one) => checkOf(one) === 'pressure-reference-missing'),
    );
    assert.ok(found);
    await applyQuickFix(document, found.range, /abs/);
    assert.match(document.getText(), /overboost_cut: 168 kPa abs/);
    await waitForDiagnostics(document, (all) =>
      all.every((one) => checkOf(one) !== 'pressure-reference-missing'),
    );
  });

  test('accepting a finding asks for the reason, and only that silences it', async () => {
    const editor = await openFile('samples/broken/injectors-too-small.engine.yaml');
    const { document } = editor;
    const rule = 'injector-duty-over-100';
    const all = await waitForDiagnostics(document, (given) => given.some((one) => checkOf(one) === rule));
    const found = all.find((one) => checkOf(one) === rule);
    assert.ok(found);
    await applyQuickFix(document, found.range, new RegExp(`^Accept ${rule} `));
    await until('the comment', () => document.getText().includes(`# accept ${rule}: \n`));
    await waitForDiagnostics(document, (all) =>
      all.some((one) => checkOf(one) === 'acceptance-without-reason'),
    );
    assert.ok(vscode.languages.getDiagnostics(document.uri).some((one) => checkOf(one) === rule));
    await setText(
      editor,
      document.getText().replace(`# accept ${rule}: \n`, `# accept ${rule}: bench trial\n`),
    );
    await waitForDiagnostics(document, (given) => given.every((one) => checkOf(one) !== rule));
  });

  test('completion offers keys, and units that fit', async () => {
    const editor = await openFile(overlaid);
    await setText(editor, `${overlay}engine:\n  \n  bore: 84 \n`);
    const units = await until('units', async () => {
      const offered = await completions(editor.document, 'bore: 84 ');
      return offered.includes('mm') ? offered : undefined;
    });
    assert.ok(!units.includes('bar'));
    const keys = await completions(editor.document, 'engine:\n  ');
    assert.ok(keys.includes('stroke') && !keys.includes('rail'));
    if (!driven) return;
    await suggest(editor, 'bore: 84 ', 'completion-unit');
    await press('Enter');
    await until('the unit', () => editor.document.getText().includes('bore: 84 mm\n'));
    await suggest(editor, 'engine:\n  ', 'completion-key');
    await press('Enter');
    await until('the key', () => editor.document.getText().includes('engine:\n  layout: '));
  });

  test('a change in the base is seen in what is based on it', async () => {
    const { document } = await openFile(overlaid);
    const base = await openFile(engine);
    const isError = (one: vscode.Diagnostic) => one.severity === vscode.DiagnosticSeverity.Error;
    await waitForDiagnostics(document, (all) => !all.some(isError));
    const flow = /static_flow: \d+ cc\/min/;
    await setText(base, base.document.getText().replace(flow, 'static_flow: 120 cc/min'));
    await waitForDiagnostics(document, (all) => all.some((one) => checkOf(one) === 'injector-duty-over-100'));
  });

  test('the outline lists sections, points and tables', async () => {
    const { document } = await openFile(engine);
    const symbols = await until('symbols', async () =>
      vscode.commands.executeCommand<vscode.DocumentSymbol[] | undefined>(
        'vscode.executeDocumentSymbolProvider',
        document.uri,
      ),
    );
    const points = symbols.find(({ name }) => name === 'operating_points');
    assert.ok(points?.children.some(({ name, detail }) => name === 'take_off' && /rpm/.test(detail)));
  });
});

/** Saves a screenshot of the hover at a text, or at the cursor. */
async function show(editor: vscode.TextEditor, text: string | undefined, name: string): Promise<void> {
  if (text !== undefined) select(editor, text);
  else editor.revealRange(editor.selection, vscode.TextEditorRevealType.InCenter);
  await drawn();
  await vscode.commands.executeCommand('editor.action.showHover');
  await pause(1200);
  await picture(name);
  await vscode.commands.executeCommand('editor.action.hideHover');
}

/** Opens the list of suggestions after a text and saves a screenshot of it. */
async function suggest(editor: vscode.TextEditor, text: string, name: string): Promise<void> {
  const { end } = rangeOf(editor.document, text);
  editor.selection = new vscode.Selection(end, end);
  await vscode.commands.executeCommand('editor.action.triggerSuggest');
  await pause(1500);
  await picture(name);
}
