import assert from 'node:assert/strict';
import { suite, teardown, test } from 'mocha';
import * as vscode from 'vscode';
import { driven, picture, point, press, see, type } from './driver.ts';
import {
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
const overlaid = 'samples/dotterel/dotterel-16t-mountain.engine.yaml';

/** The first non-empty answer of the server. */
const offered = (document: vscode.TextDocument, text: string, wanted: string) =>
  until(`${wanted} behind ${text}`, async () => {
    const labels = await completions(document, text);
    return labels.includes(wanted) ? labels : undefined;
  });

suite('Language', () => {
  teardown(closeFiles);

  test('completion offers files by their paths', async () => {
    const editor = await openFile(overlaid);
    await setText(editor, 'based_on: ./dotterel-16t.engine.yaml\ncontroller: \n');
    const paths = await offered(editor.document, 'controller: ', './four-channel.controller.yaml');
    assert.ok(paths.includes('../wheatear/two-channel.controller.yaml'));
    assert.ok(paths.every((path) => path.endsWith('.controller.yaml')));
  });

  test('completion offers pins whose role fits, and the keys of a kind of sensor', async () => {
    const editor = await openFile(overlaid);
    const sensor = '  extra: { kind: thermistor, pin: , ';
    await setText(editor, `based_on: ./dotterel-16t.engine.yaml\nsensors:\n${sensor} }\n`);
    const { items } = await until('pins', async () => {
      const list = await vscode.commands.executeCommand<vscode.CompletionList>(
        'vscode.executeCompletionItemProvider',
        editor.document.uri,
        rangeOf(editor.document, 'pin: ').end,
      );
      return list.items.some(({ detail }) => detail?.includes('temperature-input')) ? list : undefined;
    });
    assert.ok(items.every(({ detail }) => detail?.startsWith('temperature-input')));
    const used = items.map(({ detail }) => detail?.includes('used by') ?? false);
    assert.ok(used.includes(true) && used.lastIndexOf(false) < used.indexOf(true));
    const keys = await offered(editor.document, sensor, 'beta');
    assert.ok(keys.includes('resistance') && !keys.includes('teeth') && !keys.includes('heater_pin'));
  });

  test('a hint explains itself when the pointer rests on it', async function () {
    if (!driven) return this.skip(); // The script moves the pointer.
    const editor = await openFile(engine);
    const { document } = editor;
    const { line } = rangeOf(document, 'cylinders:').start;
    const hint = await until('the hint of the displacement', async () => {
      const all = await inlayHints(document);
      return all.find((one) => one.line === line);
    });
    select(editor, 'cylinders:');
    await see('limits hold everywhere'); // This lens is the last to come; it moves the lines below it away from the pointer.
    await pause(800);
    await point(hint.text);
    await see('V_d = z · V'); // The formula is not part of the hint, so it was requested.
    await picture('inlay-hint-explained');
  });

  test('the hover of an operating point is in groups', async () => {
    const editor = await openFile(engine);
    const page = await until('hover', async () => {
      const text = await hoverText(editor.document, 'take_off:');
      return text.includes('Estimated power') ? text : undefined;
    });
    const parts = ['Manifold pressure', '**Air**', '**Fuel**', '**Sensor faults**'].map((part) =>
      page.indexOf(part),
    );
    assert.ok(!parts.includes(-1) && parts.every((place, i) => i === 0 || place > parts[i - 1]!));
    select(editor, 'take_off:');
    await vscode.commands.executeCommand('editor.action.showHover');
    await pause(1200);
    await picture('hover-operating-point');
  });

  test('lenses say what a loop follows and what acts through an output', async () => {
    const editor = await openFile(engine);
    const lenses = await until('lenses', async () => {
      const found = await vscode.commands.executeCommand<vscode.CodeLens[]>(
        'vscode.executeCodeLensProvider',
        editor.document.uri,
        200,
      );
      return found.length > 0 ? found : undefined;
    });
    const titleAt = (text: string) => {
      const { line } = rangeOf(editor.document, text).start;
      return lenses.find(({ range }) => range.start.line === line)?.command?.title ?? '';
    };
    assert.match(titleAt('  exhaust_gas_temperature:'), /^Sensors 4: egt_1, egt_2, /);
    assert.match(titleAt('  injector_1:'), /^Used by \d+: .*exhaust_gas_temperature.*, …$/);
    select(editor, 'outputs:');
    await pause(1500);
    await picture('code-lenses-outputs');
  });

  test('findings of a file that is closed and deleted at once are gone', async () => {
    const { document: any } = await openFile(engine);
    const uri = vscode.Uri.joinPath(any.uri, '../short-lived.engine.yaml');
    await vscode.workspace.fs.writeFile(uri, new TextEncoder().encode('engine: { boar: 84 mm }\n'));
    const document = await vscode.workspace.openTextDocument(uri);
    await vscode.window.showTextDocument(document, { preview: false });
    await waitForDiagnostics(document, (found) => found.some((one) => checkOf(one) === 'unknown-key'));
    await vscode.commands.executeCommand('workbench.action.closeActiveEditor');
    await vscode.workspace.fs.delete(uri);
    await until('the findings are gone', () => vscode.languages.getDiagnostics(uri).length === 0);
    await pause(2500); // The editor requests workspace findings every two seconds.
    assert.deepEqual(vscode.languages.getDiagnostics(uri), []);
  });

  test('a file that is not open is judged anew when its controller changes on disk', async () => {
    const { document } = await openFile(overlaid);
    const folder = vscode.Uri.joinPath(document.uri, '..');
    const [tug, unit] = ['tug.engine.yaml', 'unit.controller.yaml'].map((name) =>
      vscode.Uri.joinPath(folder, name),
    ) as [vscode.Uri, vscode.Uri];
    const write = (uri: vscode.Uri, text: string) =>
      vscode.workspace.fs.writeFile(uri, new TextEncoder().encode(text));
    const pins = (role: string) =>
      `controllerfile: 1\npins: { A1: { role: ${role} }, A2: { role: switch-input } }\n`;
    const mismatch = () =>
      vscode.languages.getDiagnostics(tug).some((one) => checkOf(one) === 'pin-role-mismatch');
    try {
      await write(unit, pins('switch-input'));
      await write(
        tug,
        'enginefile: 1\ncontroller: ./unit.controller.yaml\ninputs: { panel: { kind: switch, pin: A1 } }\n',
      );
      await until('findings of the closed file', () => vscode.languages.getDiagnostics(tug).length > 0);
      assert.equal(mismatch(), false);
      await write(unit, pins('relay-driver'));
      await until('the pin is of another role', mismatch);
      await write(unit, pins('switch-input'));
      await until('the pin is of its role again', () => !mismatch());
    } finally {
      for (const uri of [tug, unit]) await vscode.workspace.fs.delete(uri);
    }
  });

  test('a new controller file is made of the answers to a few questions', async function () {
    if (!driven) return this.skip(); // The questions are answered with key presses.
    this.timeout(40_000);
    const made = vscode.commands.executeCommand('enginewright.newController');
    for (const answer of ['Demonstration unit', '20, 12', '3', '3', '4', '2']) {
      await pause(700);
      await type(answer);
      await pause(500);
      await press('Enter');
    }
    await pause(700);
    await type('200'); // Too many, so it is refused.
    await pause(700);
    await picture('new-controller-objection');
    await press('Control+A');
    await type('2');
    await pause(500);
    await press('Enter');
    await pause(1000);
    await press('Enter'); // The proposed place.
    await made;
    const { document } = await until('the file', () => vscode.window.activeTextEditor);
    assert.match(document.fileName, /demonstration-unit\.controller\.yaml$/);
    const text = document.getText();
    assert.match(text, /^name: Demonstration unit$/m);
    assert.match(text, /^ {2}A14: \{ role: pickup-input \}$/m);
    await pause(1500);
    assert.deepEqual(vscode.languages.getDiagnostics(document.uri), []);
    await picture('new-controller');
    await vscode.commands.executeCommand('workbench.action.closeActiveEditor');
    await vscode.workspace.fs.delete(document.uri);
  });
});
