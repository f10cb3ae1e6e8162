import { afterEach, expect, test } from 'vitest';
import type { CodeLens, Hover } from 'vscode-languageserver/node';
import { completeController, completeEngine } from '../support/command-line.ts';
import { ENGINE, FakeEditor } from './fake-editor.ts';

let fake: FakeEditor | undefined;
afterEach(async () => {
  await fake?.stop();
  fake = undefined;
});

const ALL_LINES = { start: { line: 0, character: 0 }, end: { line: 1e6, character: 0 } };
const soon = <Value>(value: () => Value) => expect.poll(value, { timeout: 100_000, interval: 100 });

const about = { textDocument: { uri: ENGINE } };
const FILES = { '/shop/complete.controller.yaml': completeController };
const LINES = completeEngine.split('\n');
const lineOf = (part: string) => LINES.findIndex((line) => line.includes(part));

/** The title of the lens over the limits, resolved as an editor does. */
async function verdicts(): Promise<string> {
  const lenses = ((await fake!.ask('textDocument/codeLens', about)) as CodeLens[]) ?? [];
  const lens = lenses.find(({ range }) => range.start.line === lineOf('envelope:'));
  return lens ? ((await fake!.ask('codeLens/resolve', lens)) as CodeLens).command!.title : '';
}

const hints = async (): Promise<string> =>
  JSON.stringify(await fake!.ask('textDocument/inlayHint', { ...about, range: ALL_LINES }));

test('bounds come when nobody types, and are marked as old from the next edit until they are found again', async () => {
  fake = new FakeEditor(FILES);
  await fake.start({ workspace: { inlayHint: { refreshSupport: true } } });
  await fake.open(completeEngine);
  expect(await verdicts()).toBe('');
  expect(await hints()).not.toContain('everywhere');
  await soon(verdicts).toMatch(/^\d+ limits hold everywhere · \d+ broken$/);
  expect(fake!.refreshes).toBeGreaterThan(0);
  const first = await verdicts();
  expect(await hints()).toMatch(/≤ [\d.]+ % everywhere"/);
  const limit = {
    line: lineOf('maximum_duty'),
    character: LINES[lineOf('maximum_duty')]!.indexOf('maximum'),
  };
  const hover = (await fake!.ask('textDocument/hover', { ...about, position: limit })) as Hover;
  expect(JSON.stringify(hover.contents)).toContain('Over all states of the envelope');

  await edit('static_flow: 340 cc/min', 'static_flow: 200 cc/min');
  expect(await verdicts()).toBe(`${first} (before the last edit)`);
  expect(await hints()).not.toMatch(/[%a-z] everywhere"/);
  await soon(verdicts).not.toContain('before');
  const second = await verdicts();
  expect(second).toMatch(/^\d+ limits hold everywhere · \d+ broken$/);
  expect(second).not.toBe(first);
});

test('after an edit that no bound depends on, the same are found again', async () => {
  fake = new FakeEditor(FILES);
  await fake.start({ workspace: { inlayHint: { refreshSupport: true } } });
  await fake.open(completeEngine);
  await soon(verdicts).toContain('everywhere');
  const first = await verdicts();
  await edit(LINES[lineOf('title:')]!, 'title: Another invented engine');
  await soon(verdicts).toBe(first);
});

/** Replaces a part of one line. */
async function edit(from: string, to: string): Promise<void> {
  const line = LINES.findIndex((text) => text.includes(from));
  const character = LINES[line]!.indexOf(from);
  await fake!.tell('textDocument/didChange', {
    textDocument: { uri: ENGINE, version: 2 },
    contentChanges: [
      {
        range: { start: { line, character }, end: { line, character: character + from.length } },
        text: to,
      },
    ],
  });
}
