import assert from 'node:assert/strict';
import { suite, teardown, test } from 'mocha';
import * as vscode from 'vscode';
import { picture } from './driver.ts';
import {
  closeFiles,
  openFile,
  pause,
  rangeOf,
  select,
  setText,
  until,
  waitForDiagnostics,
} from './helpers.ts';

const engine = 'samples/dotterel/dotterel-16t.engine.yaml';
const mountain = 'samples/dotterel/dotterel-16t-mountain.engine.yaml';
const controller = 'samples/dotterel/four-channel.controller.yaml';

/** The answer of a provider, once the server is running and the answer is not empty. */
function answer<Answer>(command: string, ...given: unknown[]): Promise<Answer> {
  return until(command, async () => {
    const found = await vscode.commands.executeCommand<Answer | undefined>(command, ...given);
    return Array.isArray(found) && found.length === 0 ? undefined : found;
  }) as Promise<Answer>;
}

const nameOf = ({ path }: vscode.Uri) => path.slice(path.lastIndexOf('/') + 1);

/** The position of a text's first letter. */
const at = (document: vscode.TextDocument, text: string) => rangeOf(document, text).start.translate(0, 1);

suite('Navigation and layout', () => {
  teardown(closeFiles);

  test('a definition leads from a pin to the controller file', async () => {
    const { document } = await openFile(engine);
    const pin = rangeOf(document, 'pin: ').end;
    const word = document.getText(document.getWordRangeAtPosition(pin));
    const [place] = await answer<vscode.Location[]>('vscode.executeDefinitionProvider', document.uri, pin);
    assert.ok(place);
    assert.equal(nameOf(place.uri), nameOf(vscode.Uri.file(controller)));
    const target = await vscode.workspace.openTextDocument(place.uri);
    assert.equal(target.getText(place.range), word);
  });

  test('references and highlights of a switch are found', async () => {
    const editor = await openFile(engine);
    const { document } = editor;
    const name = /^inputs:\n(?:\s*#.*\n)*\s+(\w+):/m.exec(document.getText())?.[1];
    assert.ok(name);
    const position = at(document, `\n  ${name}:`).translate(1, 0).with({ character: 3 });
    const places = await answer<vscode.Location[]>('vscode.executeReferenceProvider', document.uri, position);
    assert.ok(places.length >= 2);
    const lights = await answer<vscode.DocumentHighlight[]>(
      'vscode.executeDocumentHighlights',
      document.uri,
      position,
    );
    for (const { range } of lights) assert.equal(document.getText(range), name);
  });

  test('a rename in the base reaches the controller file', async () => {
    const { document } = await openFile(engine);
    const pin = rangeOf(document, 'pin: ').end;
    const edit = await answer<vscode.WorkspaceEdit>(
      'vscode.executeDocumentRenameProvider',
      document.uri,
      pin,
      'Z99',
    );
    const files = edit.entries().map(([uri]) => nameOf(uri));
    assert.ok(files.includes(nameOf(vscode.Uri.file(engine))));
    assert.ok(files.includes(nameOf(vscode.Uri.file(controller))));
  });

  test('symbols of the workspace are found in files that are not open', async () => {
    await openFile(engine);
    const found = await answer<vscode.SymbolInformation[]>(
      'vscode.executeWorkspaceSymbolProvider',
      'takeoff',
    );
    assert.ok(found.some(({ name, location }) => name === 'take_off' && /wheatear/.test(location.uri.path)));
  });

  test('links, folds, selections and tokens are there', async () => {
    const editor = await openFile(mountain);
    const { document } = editor;
    const links = await answer<vscode.DocumentLink[]>('vscode.executeLinkProvider', document.uri);
    assert.ok(links.some(({ target }) => target && nameOf(target) === nameOf(vscode.Uri.file(engine))));
    const base = (await openFile(engine)).document;
    const folds = await answer<vscode.FoldingRange[]>('vscode.executeFoldingRangeProvider', base.uri);
    const table = rangeOf(base, 'volumetric_efficiency:').start.line;
    assert.ok(folds.some(({ start, end }) => start === table && end > table + 10));
    const row = /- \[([\d.]+), /.exec(base.getText().slice(base.offsetAt(new vscode.Position(table, 0))));
    assert.ok(row?.[1]);
    const cell = at(base, row[0]).translate(0, 2);
    const [selection] = await answer<vscode.SelectionRange[]>(
      'vscode.executeSelectionRangeProvider',
      base.uri,
      [cell],
    );
    const grown: string[] = [];
    for (let one = selection; one; one = one.parent!) grown.push(base.getText(one.range));
    assert.ok(grown.includes(row[1]) && grown.some((text) => text.startsWith('volumetric_efficiency:')));
    const tokens = await answer<vscode.SemanticTokens>('vscode.provideDocumentSemanticTokens', base.uri);
    assert.ok(tokens.data.length > 1000);
    select(editor, 'based_on');
    await pause(600);
    await picture('semantic-tokens');
  });

  test('formatting aligns a map and nothing else', async () => {
    const editor = await openFile(mountain);
    const text = 'fuel:\n  target_lambda: # mixture\n    values:\n      - [1,0.95]\n      - [10, 1.5]\n';
    await setText(editor, text);
    const edits = await answer<vscode.TextEdit[]>(
      'vscode.executeFormatDocumentProvider',
      editor.document.uri,
      {
        tabSize: 2,
        insertSpaces: true,
      },
    );
    const change = new vscode.WorkspaceEdit();
    change.set(editor.document.uri, edits);
    assert.ok(await vscode.workspace.applyEdit(change));
    assert.equal(
      editor.document.getText(),
      'fuel:\n  target_lambda: # mixture\n    values:\n      - [ 1, 0.95]\n      - [10,  1.5]\n',
    );
  });

  test('lenses say what uses a sensor and lead there', async () => {
    const editor = await openFile(engine);
    const lenses = await answer<vscode.CodeLens[]>(
      'vscode.executeCodeLensProvider',
      editor.document.uri,
      100,
    );
    const used = lenses.find(({ command }) => /^Used by \d/.test(command?.title ?? ''));
    assert.equal(used?.command?.command, 'enginewright.showPlaces');
    assert.ok(
      lenses.some(({ command }) => /^The envelope reaches \d+ of \d+ cells$/.test(command?.title ?? '')),
    );
    select(editor, 'sensors:');
    await pause(1500);
    await picture('code-lenses');
    await vscode.commands.executeCommand(used.command.command, ...(used.command.arguments ?? []));
    await pause(1200);
    await picture('code-lens-places');
    await vscode.commands.executeCommand('closeReferenceSearch');
  });

  test('findings of the workspace are shown for files that are not open, each once', async () => {
    const { document } = await openFile(engine);
    const closed = vscode.Uri.joinPath(document.uri, '../../broken/misspelt-key.engine.yaml');
    await until(
      'findings of a file that is not open',
      () => vscode.languages.getDiagnostics(closed).length > 0,
    );
    const shown = await openFile('samples/broken/misspelt-key.engine.yaml');
    const found = await waitForDiagnostics(shown.document);
    const texts = found.map(({ message, range }) => `${range.start.line} ${message}`);
    assert.equal(new Set(texts).size, texts.length);
  });
});
