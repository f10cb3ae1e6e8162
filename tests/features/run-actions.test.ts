import { readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { beforeEach, expect, test, vi } from 'vitest';
import { CodeActionTriggerKind } from 'vscode-languageserver';
import { openRun } from '../../server/runs/run-file.ts';
import { folderOf } from '../support/command-line.ts';
import { SAMPLES } from '../support/samples.ts';
import { FakeEditor } from './fake-editor.ts';

vi.mock('../../server/runs/run-file.ts', { spy: true });
beforeEach(() => {
  vi.mocked(openRun).mockClear();
});

const [ENGINE, RUN] = ['dotterel-16t.engine.yaml', 'after-injectors.run.yaml'];
const read = (name: string): string => readFileSync(`${SAMPLES}dotterel/${name}`, 'utf8');
const NAMES = [ENGINE!, RUN!, 'four-channel.controller.yaml', 'after-injectors.csv'];
const uriIn = (folder: string, name: string): string => pathToFileURL(`${folder}/${name}`).href;

// biome-ignore lint/suspicious/noExplicitAny: answers whose types these tests check.
type Json = any;

/** The titles of what an editor is offered in a run file. */
async function offered(
  fake: FakeEditor,
  uri: string,
  triggerKind?: CodeActionTriggerKind,
): Promise<string[]> {
  const range = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
  const context = { diagnostics: [], ...(triggerKind && { triggerKind }) };
  const actions: Json = await fake.ask('textDocument/codeAction', { textDocument: { uri }, range, context });
  return actions.map(({ title }: Json) => title).filter((title: string) => title.startsWith('Take'));
}

const TAKE = ['Take the measured filling into 12 cells'];

test.each([
  [ENGINE!, (text: string) => `# Another first line.\n${text}`],
  [RUN!, (text: string) => text.replace('exhaust_delay: 0.2 s', 'exhaust_delay: 0.3 s')],
])('while %s is not saved, a run offers no edits', async (name, change) => {
  const folder = folderOf(Object.fromEntries(NAMES.map((one) => [one, read(one)])));
  const uri = uriIn(folder, RUN!);
  const fake = new FakeEditor();
  await fake.start();
  await fake.open(read(RUN!), uri);
  if (name !== RUN) await fake.open(read(name), uriIn(folder, name));
  expect(await offered(fake, uri)).toEqual(TAKE);
  const text = change(read(name));
  expect(text).not.toBe(read(name));
  const put = async (whole: string, version: number) =>
    await fake.tell('textDocument/didChange', {
      textDocument: { uri: uriIn(folder, name), version },
      contentChanges: [{ text: whole }],
    });
  await put(text, 2);
  expect(await offered(fake, uri)).toEqual([]);
  await put(read(name), 3);
  expect(await offered(fake, uri)).toEqual(TAKE);
  await fake.stop();
});

test('a light bulb reads no run, and offers what is known of one that was read', async () => {
  const uri = uriIn(`${SAMPLES}dotterel`, RUN!);
  const fake = new FakeEditor();
  await fake.start();
  await fake.open(read(RUN!), uri);
  expect(await offered(fake, uri, CodeActionTriggerKind.Automatic)).toEqual([]);
  expect(openRun).not.toHaveBeenCalled();
  expect(await offered(fake, uri, CodeActionTriggerKind.Invoked)).toEqual(TAKE);
  expect(await offered(fake, uri, CodeActionTriggerKind.Automatic)).toEqual(TAKE);
  await fake.ask('enginewright/runView', { textDocument: { uri } });
  await fake.ask('enginewright/runSteps', { textDocument: { uri }, from: 0, to: 10, most: 10 });
  // Its files have not changed.
  expect(openRun).toHaveBeenCalledOnce();
  await fake.stop();
});
