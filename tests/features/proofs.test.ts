import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, onTestFinished, test } from 'vitest';
import { type Diagnostic, LSPErrorCodes } from 'vscode-languageserver/node';
import { ENGINE, FakeEditor } from './fake-editor.ts';
import { workspaceOf } from './shop.ts';

const fixture = (name: string) => readFileSync(new URL(`../fixtures/${name}`, import.meta.url), 'utf8');
const FILES = {
  '/shop/complete.engine.yaml': fixture('complete.engine.yaml'),
  '/shop/complete.controller.yaml': fixture('complete.controller.yaml'),
};
const OVER = `based_on: ./complete.engine.yaml
title: first
fuel:
  injectors:
    maximum_duty: 55 %
    static_flow: 340 cc/min
`;
const MARK = /\(before the last edit\)$/;

const soon = (check: () => unknown) => expect.poll(check, { timeout: 20_000 });

let fake = new FakeEditor();
afterEach(() => fake.stop());

const last = (): readonly Diagnostic[] | undefined => fake.published.at(-1)?.diagnostics;
const duty = (diagnostics = last()) =>
  diagnostics?.find(({ code }) => code === 'injector-duty-high')?.message as string | undefined;

async function opened(text = OVER): Promise<void> {
  fake = new FakeEditor(FILES);
  await fake.start();
  await fake.open(text);
}

const change = (text: string, version: number) =>
  fake.tell('textDocument/didChange', {
    textDocument: { uri: ENGINE, version },
    contentChanges: [{ text }],
  });

describe('findings about bounds', () => {
  test('follow the others when nobody types', async () => {
    await opened();
    await soon(() => fake.published.length).toBe(1);
    expect(duty()).toBeUndefined();
    await soon(() => duty()).toMatch(/^Injector duty reaches 59.9 %/);
  });

  test('are marked as outdated after an edit, at the same key, until they are searched again', async () => {
    await opened();
    await soon(() => duty()).toBeDefined();
    await change(OVER.replace('title: first\n', '').replace('340', '330'), 2);
    await soon(() => duty()).toMatch(MARK);
    expect(last()!.find(({ code }) => code === 'injector-duty-high')!.range.start.line).toBe(4);
    await soon(() => duty()).toMatch(/^Injector duty reaches 61.5 %/);
    expect(duty()).not.toMatch(MARK);
  });

  test('are gone at once if their key is gone', async () => {
    await opened();
    await soon(() => duty()).toBeDefined();
    await change(OVER.replace('    static_flow: 340 cc/min\n', ''), 2);
    const count = fake.published.length;
    await soon(() => fake.published.length).toBeGreaterThan(count - 1);
    await soon(() => duty()).toBeUndefined();
  });

  test('stay current if nothing changes that they follow from', async () => {
    await opened();
    await soon(() => duty()).toBeDefined();
    const before = fake.published.length;
    await change(OVER.replace('first', 'second'), 2);
    await soon(() => fake.published.length).toBeGreaterThan(before);
    for (const { diagnostics } of fake.published.slice(before))
      expect(duty(diagnostics)).toMatch(/^Injector duty reaches 59.9 %.*no state needs more than [\d.]+ %/);
  });

  test('may be awaited by comments that accept them', async () => {
    await opened(
      OVER.replace('    static', '    # accept injector-duty-high: measured on a bench\n    static'),
    );
    await fake.ask('enginewright/proof', { textDocument: { uri: ENGINE } });
    await soon(() => fake.published.length).toBeGreaterThan(1);
    for (const { diagnostics } of fake.published) {
      expect(duty(diagnostics)).toBeUndefined();
      expect(diagnostics.map(({ code }) => code)).not.toContain('acceptance-without-finding');
    }
  });

  test('are complete after a request for that', async () => {
    await opened();
    expect(await fake.ask('enginewright/proof', { textDocument: { uri: ENGINE } })).toEqual({
      isCurrent: true,
    });
    await soon(() => duty()).toMatch(/^Injector duty reaches 59.9 %.*no state needs more than [\d.]+ %/);
  });
});

describe('an editor that pulls findings', () => {
  const pull = async () =>
    (await fake.ask('textDocument/diagnostic', { textDocument: { uri: ENGINE } })) as { items: Diagnostic[] };

  test('is asked to refresh them', async () => {
    fake = new FakeEditor(FILES);
    await fake.start({
      textDocument: { diagnostic: {} },
      workspace: { diagnostics: { refreshSupport: true } },
    });
    await fake.open(OVER);
    expect(duty((await pull()).items)).toBeUndefined();
    await soon(() => fake.diagnosticRefreshes).toBe(1);
    expect(duty((await pull()).items)).toBeDefined();
  });

  test('gets all of them at once if it cannot refresh them', async () => {
    fake = new FakeEditor(FILES);
    await fake.start({ textDocument: { diagnostic: {} } });
    await fake.open(OVER);
    expect(duty((await pull()).items)).toBeDefined();
  });

  test('does not wait for bounds that no finding needs', async () => {
    fake = new FakeEditor(FILES);
    await fake.start({ textDocument: { diagnostic: {} } });
    await fake.open(OVER);
    expect(duty((await pull()).items)).toBeDefined();
    const view = () =>
      fake.ask('enginewright/installationView', { textDocument: { uri: ENGINE } }) as Promise<{
        bounds: { status: string };
      }>;
    expect((await view()).bounds.status).toBe('awaited');
    await fake.ask('enginewright/proof', { textDocument: { uri: ENGINE } });
    expect((await view()).bounds.status).toBe('current');
  });

  test('gets no findings of a text that has changed while they were searched', async () => {
    fake = new FakeEditor(FILES);
    await fake.start({ textDocument: { diagnostic: {} } });
    await fake.open(OVER);
    const answer = expect(pull()).rejects.toMatchObject({ code: LSPErrorCodes.ContentModified });
    await change(OVER.replace('340', '330'), 2);
    await answer;
  });

  test('gets all of them for files that are not open', async () => {
    fake = new FakeEditor({ ...FILES, '/shop/other.engine.yaml': OVER });
    await fake.start({
      textDocument: { diagnostic: {} },
      workspace: { diagnostics: { refreshSupport: true } },
    });
    const answer = await fake.ask('workspace/diagnostic', { previousResultIds: [] });
    const { items } = answer as { items: { uri: string; items: Diagnostic[] }[] };
    expect(duty(items.find(({ uri }) => uri.endsWith('other.engine.yaml'))!.items)).toBeDefined();
  });
});

const turn = () => new Promise((resolve) => setImmediate(resolve));

test.each<[string, (completed: Promise<void>) => Promise<unknown>]>([
  ['while findings are searched', turn],
  ['between findings and bounds', (completed) => completed],
  ['while bounds are searched', (completed) => completed.then(turn)],
])(
  'an edit %s makes the answer to a request for everything outdated',
  async (_, time) => {
    fake = new FakeEditor();
    await fake.start();
    const text = FILES['/shop/complete.engine.yaml'];
    const uri = 'file:///shop/complete.engine.yaml';
    const workspace = workspaceOf(new Map(Object.entries(FILES).map(([path, one]) => [path.slice(6), one])));
    onTestFinished(() => workspace.proofs.stop());
    workspace.rewrite(uri, [{ text }]);
    const completed = new Promise<void>((resolve) => {
      workspace.proofs.onCompleted = () => resolve();
    });
    const settled = workspace.proofs.settle(uri);
    await time(completed);
    workspace.rewrite(uri, [{ text: text.replace('340 cc/min', '330 cc/min') }]);
    expect(await settled).toBe(false);
    expect(await workspace.proofs.settle(uri)).toBe(true);
    expect(workspace.proofs.of(uri)).toMatchObject({ isCurrent: true });
  },
  90_000,
);

test('all bounds of a document are searched after something has asked for them', async () => {
  fake = new FakeEditor();
  await fake.start();
  const texts = new Map(Object.entries(FILES).map(([path, text]) => [path.replace('/shop/', ''), text]));
  const workspace = workspaceOf(texts);
  const uri = 'file:///shop/complete.engine.yaml';
  const completed: string[] = [];
  workspace.proofs.onCompleted = (one) => completed.push(one);
  workspace.rewrite(uri, [{ text: texts.get('complete.engine.yaml')! }]);
  expect(workspace.proofs.of(uri)).toBeUndefined();
  await expect.poll(() => workspace.proofs.of(uri)?.isCurrent, { timeout: 60_000 }).toBe(true);
  const { bounds } = workspace.proofs.of(uri)!;
  expect(bounds.find(({ id, side }) => id === 'injector_duty' && side === 'high')).toMatchObject({
    verdict: 'holds',
  });
  expect(completed).toEqual([uri, uri]);
  workspace.rewrite(uri, [{ text: texts.get('complete.engine.yaml')!.replace('340 cc/min', '330 cc/min') }]);
  expect(workspace.proofs.of(uri)).toMatchObject({ isCurrent: false });
  workspace.proofs.stop();
});

describe('the fault table', () => {
  const ask = () => fake.ask('enginewright/faults', { textDocument: { uri: ENGINE } });

  test('is computed in slices, so an edit is handled meanwhile and ends it', async () => {
    await opened();
    const answer = expect(ask()).rejects.toMatchObject({ code: LSPErrorCodes.ContentModified });
    await change(OVER.replace('340', '330'), 2);
    await answer;
    expect(await ask()).toMatchObject({
      rows: expect.arrayContaining([expect.objectContaining({ severity: 'stops' })]),
    });
  });
});
