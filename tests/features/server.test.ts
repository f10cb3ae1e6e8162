import { afterEach, describe, expect, test } from 'vitest';
import type { CompletionItem } from 'vscode-languageserver/node';
import { version } from '../../package.json';
import { features } from '../../server/features/registry.ts';
import { ENGINE, FakeEditor } from './fake-editor.ts';

const soon = (check: () => void) => expect.poll(check, { timeout: 3000 });
const ALL_LINES = { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } };

let fake = new FakeEditor();
afterEach(() => fake.stop());

describe('the server', () => {
  test('offers every feature of its table', async () => {
    fake = new FakeEditor();
    const { capabilities, serverInfo } = await fake.start();
    for (const feature of features) expect(capabilities).toMatchObject(feature.capabilities);
    expect(serverInfo).toEqual({ name: 'enginewright', version });
  });

  test('publishes what is wrong, and that nothing is when the document is closed', async () => {
    fake = new FakeEditor();
    await fake.start();
    await fake.open('engine: { bore: [\n');
    await soon(() => fake.published.at(-1)?.diagnostics.map(({ code }) => code)).toContain('syntax-error');
    await fake.tell('textDocument/didClose', { textDocument: { uri: ENGINE } });
    await soon(() => fake.published.at(-1)).toEqual({ uri: ENGINE, diagnostics: [] });
  });

  test('answers about the text as it was last typed', async () => {
    fake = new FakeEditor();
    await fake.start();
    await fake.open('engine:\n  bore: 84 mm\n');
    await fake.tell('textDocument/didChange', {
      textDocument: { uri: ENGINE, version: 2 },
      contentChanges: [
        { range: { start: { line: 1, character: 8 }, end: { line: 1, character: 10 } }, text: '90' },
      ],
    });
    expect(await fake.ask('textDocument/hover', fake.at(1, 9))).toMatchObject({
      contents: { value: expect.stringContaining('90 mm') },
    });
  });

  test('says nothing about documents that are none of ours', async () => {
    fake = new FakeEditor();
    await fake.start();
    await fake.open('services: {}\n', 'file:///shop/compose.yaml');
    const about = { textDocument: { uri: 'file:///shop/compose.yaml' }, position: { line: 0, character: 2 } };
    expect(await fake.ask('textDocument/hover', about)).toBeNull();
    expect(await fake.ask('textDocument/completion', about)).toBeNull();
  });

  test('gives an editor that promises nothing words without marks, an outline as a list and no command of its own', async () => {
    fake = new FakeEditor();
    await fake.start();
    await fake.open('engine:\n  bore: 84 mm\nsensors:\n  oil: { kind: thermistor, m }\n');
    expect(await fake.ask('textDocument/hover', fake.at(1, 3))).toMatchObject({
      contents: { kind: 'plaintext', value: expect.stringMatching(/^Bore · a length, such as 76 mm\n\n/) },
    });
    expect(await fake.ask('textDocument/documentSymbol', fake.at(0, 0))).toMatchObject([
      { name: 'engine', location: { uri: ENGINE, range: { start: { line: 0, character: 0 } } } },
      { name: 'sensors', location: { uri: ENGINE } },
      { name: 'oil', containerName: 'sensors', location: { range: { end: { line: 3, character: 30 } } } },
    ]);
    const items = (await fake.ask('textDocument/completion', fake.at(3, 28))) as CompletionItem[];
    const measures = items.find(({ label }) => label === 'measures')!;
    expect(measures).toMatchObject({ textEdit: { newText: 'measures: ' } });
    expect(measures).not.toHaveProperty('command');
    expect(await fake.ask('completionItem/resolve', measures)).toMatchObject({
      documentation: {
        kind: 'plaintext',
        value: expect.stringMatching(/^Measured quantity · the name of a quantity\n/),
      },
    });
  });

  test('looks again at an engine when its base changes on disk', async () => {
    const files: Record<string, string> = { '/shop/base.engine.yaml': 'engine: { bore: 80 mm }\n' };
    fake = new FakeEditor(files);
    await fake.start({ workspace: { inlayHint: { refreshSupport: true } } });
    await fake.open('based_on: ./base.engine.yaml\nengine:\n  stroke: 55 mm\n');
    const hints = async () =>
      JSON.stringify(
        await fake.ask('textDocument/inlayHint', { textDocument: { uri: ENGINE }, range: ALL_LINES }),
      );
    expect(await hints()).toContain('276 cm3');
    files['/shop/base.engine.yaml'] = 'engine: { bore: 90 mm }\n';
    await fake.tell('workspace/didChangeWatchedFiles', {
      changes: [{ uri: 'file:///shop/base.engine.yaml', type: 2 }],
    });
    expect(await hints()).toContain('350 cm3');
    await soon(() => fake.refreshes).toBeGreaterThan(0);
  });

  test('looks for changes on disk by itself, and watches where the editor can', async () => {
    const files: Record<string, string> = { '/shop/base.engine.yaml': 'engine: { boar: 80 mm }\n' };
    fake = new FakeEditor(files, (path) => files[path]);
    await fake.start();
    await fake.open('based_on: ./base.engine.yaml\n');
    const rules = () => fake.published.at(-1)?.diagnostics.map(({ code }) => code);
    await soon(rules).not.toContain('overlay-file-missing');
    delete files['/shop/base.engine.yaml'];
    await soon(rules).toContain('overlay-file-missing');
    expect(fake.registered).toEqual([]);
    await fake.stop();

    fake = new FakeEditor(files);
    await fake.start({ workspace: { didChangeWatchedFiles: { dynamicRegistration: true } } });
    const watchers = [
      { globPattern: '**/*.engine.yaml' },
      { globPattern: '**/*.controller.yaml' },
      { globPattern: '**/*.run.yaml' },
    ];
    await soon(() => fake.registered).toMatchObject([
      { method: 'workspace/didChangeWatchedFiles', registerOptions: { watchers } },
    ]);
  });

  test('leaves hints out where the user does not want them', async () => {
    fake = new FakeEditor();
    fake.settings = { inlayHints: { enabled: false } };
    await fake.start({ workspace: { configuration: true, inlayHint: { refreshSupport: true } } });
    await soon(() => fake.refreshes).toBe(1);
    await fake.open('engine:\n  bore: 84 mm\n');
    const about = { textDocument: { uri: ENGINE }, range: ALL_LINES };
    expect(await fake.ask('textDocument/inlayHint', about)).toEqual([]);
  });

  test('refuses a question that the text has overtaken', async () => {
    fake = new FakeEditor();
    await fake.start();
    await fake.open('engine:\n  bore: 84 mm\n');
    const asked = fake.ask('textDocument/hover', fake.at(1, 9));
    const change = {
      textDocument: { uri: ENGINE, version: 2 },
      contentChanges: [{ text: 'engine:\n  bore: 90 mm\n' }],
    };
    const [answer] = await Promise.allSettled([asked, fake.tell('textDocument/didChange', change)]);
    expect(answer).toMatchObject({
      status: 'rejected',
      reason: { message: 'The text has changed since the request.' },
    });
  });

  test('publishes nothing to an editor that asks, and tells it to ask again where another file matters', async () => {
    const files: Record<string, string> = { '/shop/base.engine.yaml': 'engine: { boar: 80 mm }\n' };
    fake = new FakeEditor(files);
    await fake.start({
      textDocument: { diagnostic: {} },
      workspace: { diagnostics: { refreshSupport: true } },
    });
    await fake.open('based_on: ./base.engine.yaml\nengine: { boar: 84 mm }\n');
    const found = await fake.ask('textDocument/diagnostic', { textDocument: { uri: ENGINE } });
    expect(JSON.stringify(found)).toContain('unknown-key');
    const all = await fake.ask('workspace/diagnostic', { previousResultIds: [] });
    expect(all).toMatchObject({ items: [{ uri: ENGINE }, { uri: 'file:///shop/base.engine.yaml' }] });
    const gone = [{ uri: 'file:///shop/gone.engine.yaml', value: '1' }];
    expect(await fake.ask('workspace/diagnostic', { previousResultIds: gone })).toMatchObject({
      items: [{}, {}, { uri: gone[0]!.uri, kind: 'full', items: [] }],
    });
    await fake.tell('workspace/didChangeWatchedFiles', {
      changes: [{ uri: 'file:///shop/base.engine.yaml', type: 2 }],
    });
    await soon(() => fake.diagnosticRefreshes).toBe(1);
    expect(fake.published).toEqual([]);
  });

  test('takes back the findings of a document that was closed and deleted at once', async () => {
    const uri = 'file:///shop/short-lived.engine.yaml';
    const files: Record<string, string> = { '/shop/short-lived.engine.yaml': 'engine: { boar: 80 mm }\n' };
    fake = new FakeEditor(files);
    await fake.start({ textDocument: { diagnostic: {} } });
    await fake.open(files['/shop/short-lived.engine.yaml']!, uri);
    const found = await fake.ask('textDocument/diagnostic', { textDocument: { uri } });
    expect(JSON.stringify(found)).toContain('unknown-key');
    delete files['/shop/short-lived.engine.yaml'];
    await fake.tell('textDocument/didClose', { textDocument: { uri } });
    await fake.tell('workspace/didChangeWatchedFiles', { changes: [{ uri, type: 3 }] });
    // Like VS Code, which has forgotten the closed document but shows its findings until it gets other ones.
    expect(await fake.ask('workspace/diagnostic', { previousResultIds: [] })).toMatchObject({
      items: [{ uri, kind: 'full', items: [] }],
    });
  });

  test('has no findings of a deleted file for the workspace while its document is still held', async () => {
    const uri = 'file:///shop/held.engine.yaml';
    fake = new FakeEditor();
    await fake.start({ textDocument: { diagnostic: {} } });
    await fake.open('engine: { boar: 80 mm }\n', uri);
    const all = () => fake.ask('workspace/diagnostic', { previousResultIds: [] });
    expect(JSON.stringify(await all())).toContain('unknown-key');
    await fake.tell('workspace/didChangeWatchedFiles', { changes: [{ uri, type: 3 }] });
    expect(await all()).toMatchObject({ items: [{ uri, kind: 'full', items: [] }] });
    const own = await fake.ask('textDocument/diagnostic', { textDocument: { uri } });
    expect(JSON.stringify(own)).toContain('unknown-key');
    await fake.tell('workspace/didChangeWatchedFiles', { changes: [{ uri, type: 1 }] });
    expect(JSON.stringify(await all())).toContain('unknown-key');
  });

  test('judges a file that is not open anew when what it refers to changes on disk', async () => {
    const files: Record<string, string> = {
      '/shop/tug.engine.yaml':
        'based_on: ./base.engine.yaml\ncontroller: ./unit.controller.yaml\nsensors:\n' +
        '  oil: { measures: oil_pressure, kind: linear, pin: A1, scaling: { 0 V: 0 bar gauge, 5 V: 10 bar gauge } }\n',
      '/shop/base.engine.yaml': 'engine: { bore: 84 mm }\n',
      '/shop/unit.controller.yaml': 'controllerfile: 1\npins: { A1: { role: analog-input } }\n',
    };
    fake = new FakeEditor(files);
    await fake.start({ textDocument: { diagnostic: {} } });
    const rules = async () => {
      const { items } = (await fake.ask('workspace/diagnostic', { previousResultIds: [] })) as {
        items: { uri: string; items: { code: string }[] }[];
      };
      return items.find(({ uri }) => uri.endsWith('/tug.engine.yaml'))!.items.map(({ code }) => code);
    };
    const change = async (name: string, text: string) => {
      files[`/shop/${name}`] = text;
      await fake.tell('workspace/didChangeWatchedFiles', {
        changes: [{ uri: `file:///shop/${name}`, type: 2 }],
      });
    };
    expect(await rules()).not.toContain('pin-role-mismatch');
    await change(
      'unit.controller.yaml',
      'controllerfile: 1\npins: { A1: { role: relay-driver }, A2: { role: analog-input } }\n',
    );
    expect(await rules()).toContain('pin-role-mismatch');
    await change('base.engine.yaml', 'based_on: ./tug.engine.yaml\n');
    expect(await rules()).toContain('overlay-cycle');
  });

  test('explains a hint when it is looked at, and gives it back where its document is closed', async () => {
    fake = new FakeEditor();
    const resolveSupport = { properties: ['label.tooltip'] };
    await fake.start({ textDocument: { inlayHint: { resolveSupport } } });
    await fake.open('engine:\n  bore: 84 mm\n');
    const about = { textDocument: { uri: ENGINE }, range: ALL_LINES };
    const [hint] = (await fake.ask('textDocument/inlayHint', about)) as [object];
    expect(JSON.stringify(hint)).not.toContain('tooltip');
    expect(JSON.stringify(await fake.ask('inlayHint/resolve', hint))).toContain('ζ · a / (π · B)');
    await fake.tell('textDocument/didClose', { textDocument: { uri: ENGINE } });
    expect(await fake.ask('inlayHint/resolve', hint)).toEqual(hint);
  });

  test.each(['inlayHint/resolve', 'codeLens/resolve'])(
    'gives back what %s asks of something not its own',
    async (method) => {
      fake = new FakeEditor();
      await fake.start();
      const other = { position: { line: 0, character: 0 }, range: ALL_LINES, label: 'of another server' };
      expect(await fake.ask(method, other)).toEqual(other);
    },
  );

  test('shows how far it has come where there is much to read', async () => {
    const names = Array.from({ length: 12 }, (_, i) => `/shop/${i}.engine.yaml`);
    fake = new FakeEditor(Object.fromEntries(names.map((name) => [name, 'engine: {}\n'])));
    await fake.start({ window: { workDoneProgress: true } });
    await fake.ask('workspace/diagnostic', { previousResultIds: [] });
    await soon(() => fake.progress.at(0)).toMatchObject({ kind: 'begin', title: expect.any(String) });
    await soon(() => fake.progress.at(-1)).toEqual({ kind: 'end' });
    expect(fake.progress).toHaveLength(names.length + 2);
    await fake.ask('workspace/diagnostic', { previousResultIds: [] });
    expect(fake.progress).toHaveLength(names.length + 2);
  });

  test('says why a name cannot be changed', async () => {
    fake = new FakeEditor();
    await fake.start();
    await fake.open('sensors:\n  oil: {}\n');
    const asked = fake.ask('textDocument/rename', { ...fake.at(1, 3), newName: 'two words' });
    await expect(asked).rejects.toThrow('The name of a sensor must consist of letters');
  });

  test('gives the page of a check', async () => {
    fake = new FakeEditor();
    await fake.start();
    expect(await fake.ask('enginewright/checkPage', { check: 'injector-duty-high' })).toContain(
      '## Why it matters',
    );
    expect(await fake.ask('enginewright/checkPage', { check: 'no-such-check' })).toBeNull();
  });
});
