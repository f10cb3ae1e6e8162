import { readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { expect, test } from 'vitest';
import { folderOf } from '../support/command-line.ts';
import { SAMPLES } from '../support/samples.ts';
import { FakeEditor } from './fake-editor.ts';

const RUN = readFileSync(`${SAMPLES}dotterel/after-injectors.run.yaml`, 'utf8');
const shop = (files: Record<string, string> = {}): string => {
  const copied = ['dotterel-16t.engine.yaml', 'four-channel.controller.yaml', 'after-injectors.csv'].map(
    (name) => [name, readFileSync(`${SAMPLES}dotterel/${name}`, 'utf8')] as const,
  );
  return folderOf({ ...Object.fromEntries(copied), 'after.run.yaml': RUN, ...files });
};

/** An editor with a run file open. */
async function opened(folder: string, text = RUN) {
  const uri = pathToFileURL(`${folder}/after.run.yaml`).href;
  const fake = new FakeEditor();
  await fake.start();
  await fake.open(text, uri);
  return { fake, uri, textDocument: { uri } };
}

// biome-ignore lint/suspicious/noExplicitAny: answers whose types these tests check.
type Json = any;

test('a run is shown with its limits, its curves and its departures, each with its place in the text', async () => {
  const { fake, textDocument } = await opened(shop());
  const view: Json = await fake.ask('enginewright/runView', { textDocument });
  expect(view).toMatchObject({
    title: 'Full throttle on the brake, injectors with a finer spray',
    problem: null,
  });
  expect(view.sentences[1]).toBe('780 rows, 16 steady stretches with 780 rows.');
  const speed = view.columns.find(({ name }: Json) => name === 'engine_speed');
  expect(speed.levels.map(({ value }: Json) => value)).toContain(5800);
  expect(speed.levels[0].place.uri).toMatch(/dotterel-16t\.engine\.yaml$/);
  expect(view.curves.map(({ label }: Json) => label)).toEqual([
    'Brake power, kW',
    'Torque, Nm',
    'Specific consumption, g/kWh',
  ]);
  expect(view.maps[0].cells.filter(({ believed }: Json) => believed).length).toBe(12);
  await fake.stop();
});

test('steps keep every peak, however few there are', async () => {
  const { fake, textDocument } = await opened(shop());
  const view: Json = await fake.ask('enginewright/runView', { textDocument });
  const [from, to] = view.span;
  const at = view.columns.findIndex(({ name }: Json) => name === 'engine_speed');
  const extremes = async (most: number) => {
    const { times, lows, highs }: Json = await fake.ask('enginewright/runSteps', {
      textDocument,
      from,
      to,
      most,
    });
    expect(times.length).toBeLessThanOrEqual(most);
    return [Math.min(...lows[at]), Math.max(...highs[at])];
  };
  expect(await extremes(20)).toEqual(await extremes(5000));
  const near: Json = await fake.ask('enginewright/runSteps', { textDocument, from: 10, to: 11, most: 500 });
  // A second at five rows per second, and the rows beside it.
  expect(near.times.length).toBeGreaterThanOrEqual(6);
  expect(near.times.length).toBeLessThanOrEqual(9);
  await fake.stop();
});

test.each([
  ['no time', ''],
  ['the time of the row before', undefined],
  ['an earlier time', '0.2'],
])('a row that is refused, with %s, is not among the steps', async (_, time) => {
  const lines = readFileSync(`${SAMPLES}dotterel/after-injectors.csv`, 'utf8').trim().split('\n');
  const row = 300;
  const [before] = lines[row - 1]!.split(',');
  const broken = lines.with(row, lines[row]!.replace(/^[^,]*/, time ?? before!));
  const { fake, textDocument } = await opened(shop({ 'after-injectors.csv': `${broken.join('\n')}\n` }));
  const view: Json = await fake.ask('enginewright/runView', { textDocument });
  expect(view.sentences[1]).toMatch(/^779 rows, .*1 line refused/);
  const [from, to] = view.span;
  const { times }: Json = await fake.ask('enginewright/runSteps', { textDocument, from, to, most: 8000 });
  const logged = lines.slice(2).map((line) => Number(line.split(',')[0]));
  expect(times).toEqual(logged.toSpliced(row - 2, 1));
  await fake.stop();
});

test('a code action takes the believed cells into the map, and only those', async () => {
  const folder = shop();
  const { fake, textDocument } = await opened(folder);
  const range = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
  const actions: Json = await fake.ask('textDocument/codeAction', {
    textDocument,
    range,
    context: { diagnostics: [] },
  });
  const action = actions.find(({ title }: Json) => title.startsWith('Take'));
  expect(action.title).toBe('Take the measured filling into 12 cells');
  const [[uri, edits]]: Json = Object.entries(action.edit.changes);
  expect(uri).toBe(pathToFileURL(`${folder}/dotterel-16t.engine.yaml`).href);
  expect(edits).toHaveLength(12);
  for (const { range: changed, newText } of edits) {
    expect(newText).toMatch(/^\d\d\.\d$/);
    expect(changed.end.character - changed.start.character).toBe(4);
  }
  await fake.stop();
});

test('a run that cannot be read says why, and offers nothing', async () => {
  const folder = shop();
  const wrong = RUN.replace('after-injectors.csv', 'none.csv');
  const { fake, textDocument } = await opened(shop({ 'after.run.yaml': wrong }), wrong);
  const view: Json = await fake.ask('enginewright/runView', { textDocument });
  expect(view.problem).toContain('no such file or folder');
  expect(await fake.ask('enginewright/runSteps', { textDocument, from: 0, to: 1, most: 10 })).toBeNull();
  await fake.stop();
  expect(folder).not.toBe('');
});

test('a run file is checked and completed like any other file', async () => {
  const text = RUN.replace('kind: brake', 'kind: break').replace('temperature: 24 °C', 'temperature: 24 kPa');
  const { fake, uri, textDocument } = await opened(shop(), `${text}st`);
  const { items }: Json = await fake.ask('textDocument/diagnostic', { textDocument });
  expect(items.map(({ message }: Json) => message).join('\n')).toMatch(
    /brake[\s\S]*temperature|temperature[\s\S]*brake/,
  );
  const line = text.split('\n').length - 1;
  const found: Json = await fake.ask('textDocument/completion', {
    textDocument: { uri },
    position: { line, character: 2 },
  });
  const labels = (found.items ?? found).map(({ label }: Json) => label);
  expect(labels).toContain('steady');
  await fake.stop();
});
