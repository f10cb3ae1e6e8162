import { readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { expect, test } from 'vitest';
import { csvOf, engineOf, syntheticRows, type Terms } from '../../samples/runs/synthetic.ts';
import { FakeEditor } from '../features/fake-editor.ts';
import { enginewright, folderOf } from '../support/command-line.ts';
import { SAMPLES } from '../support/samples.ts';

/** The map of volumetric efficiency in transit, with fewer cells than the other. */
const MAP = `        fuel:
          volumetric_efficiency:
            x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 4000, 4800, 5600] }
            y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 100, 120] }
            unit: "%"
            values:
              - [70, 72, 72, 70]
              - [82, 86, 85, 83]
              - [84, 88, 87, 85]
`;
/** In transit, a caution at 95 °C; with the other map set, at 105 °C. */
const TEXT = readFileSync(`${SAMPLES}dotterel/dotterel-16t.engine.yaml`, 'utf8')
  .replace(
    /^ {2}coolant_hot:\n(?: {4}.*\n)+/m,
    `  coolant_hot:
    watches: coolant_temperature
    above: { caution: 105 °C }
    delay: 0 s
    action: [light]
`,
  )
  .replace(
    /^ {4}transit:\n {6}when: closed\n {6}apply:\n/m,
    `$&        protection: { coolant_hot: { above: { caution: 95 °C } } }
${MAP}`,
  );
const RUN = `runfile: 1
engine: ./dotterel-16t.engine.yaml
data: ./data.csv
kind: flight
exhaust_delay: 0 s
`;

// biome-ignore lint/suspicious/noExplicitAny: the JSON of the command, whose keys these tests check.
type Json = any;

const folderWith = (data: string, run = RUN, text = TEXT): string =>
  folderOf({
    'dotterel-16t.engine.yaml': text,
    'four-channel.controller.yaml': readFileSync(`${SAMPLES}dotterel/four-channel.controller.yaml`, 'utf8'),
    'data.csv': data,
    'x.run.yaml': run,
  });

async function printed(folder: string, format: string): Promise<string> {
  const { out, err } = await enginewright('runs', `${folder}/x.run.yaml`, '--format', format);
  expect(err).toBe('');
  return out;
}

const runOf = async (data: string): Promise<Json> =>
  JSON.parse(await printed(folderWith(data), 'json')).runs[0];

test('a limit of one map set is lit only while that set is selected', async () => {
  // At 100 °C, only the limit of the second set is exceeded.
  // A row that names no set has that of the row before.
  const sets = ['tow', '', 'transit', '', 'transit', 'tow', 'tow', 'tow', 'transit', 'tow'];
  const rows = sets.map((set, time) => `${time},100,${set},${[2, 3, 4, 8].includes(time) ? 1 : 0}`);
  const { limits, lights } = await runOf(
    `time,coolant_temperature,map_set,caution_light\ns,°C,,\n${rows.join('\n')}\n`,
  );
  const lit = limits.filter(({ lit }: Json) => lit.length > 0);
  expect(lit).toMatchObject([
    {
      at: 'map_sets.sets.transit.apply.protection.coolant_hot.above.caution',
      lit: [
        [2, 5],
        [8, 9],
      ],
    },
  ]);
  expect(lights).toEqual([]);
});

test('a stretch outside the envelope of one map set ends with it', async () => {
  // 145 kPa is more than the boost target of the set for transit at this speed, but not that for towing.
  const sets = ['tow', 'transit', 'transit', 'tow', 'transit', 'tow'];
  const rows = sets.map((set, i) => `${i / 10},4000,100,145,${set}`);
  const { outside_envelope } = await runOf(
    `time,engine_speed,throttle_position,manifold_pressure,map_set\ns,rpm,%,kPa abs,\n${rows.join('\n')}\n`,
  );
  expect(outside_envelope).toMatchObject([
    { row: 1, quantity: 'manifold_pressure', value: 145_000, from: 0.1, to: 0.2, rows: 2 },
    { row: 4, quantity: 'manifold_pressure', value: 145_000, from: 0.4, to: 0.4, rows: 1 },
  ]);
});

/** The errors (ratios) of both maps. */
const ERRORS = { tow: 1.04, transit: 0.95 };

const ROOM_RUN = RUN.replace('flight', 'brake\nroom: { pressure: 99.6 kPa abs, temperature: 24 °C }');
const TERMS: Terms = { map_set: ['', 0, (x) => x] };
/** Rows of both map sets, with a gap between them. */
const rowsOf = (text = TEXT) =>
  (['tow', 'transit'] as const).map((set, i) =>
    syntheticRows(engineOf(text, set), {
      states: [4000, 4400, 4800].flatMap((speed) =>
        [100e3, 110e3, 120e3].map((pressure) => ({ speed, throttle: 0.9, pressure, time: 5 })),
      ),
      ...{ noise: 0.003, altitude: 144.2, deviation: 9.936, filling: () => ERRORS[set] },
    }).map((row) => ({ ...row, time: row.time! + 100 * i, map_set: i })),
  );

test('each map of volumetric efficiency has its own cells in every output', async () => {
  const folder = folderWith(csvOf(rowsOf().flat(), TERMS), ROOM_RUN);
  const { filling } = JSON.parse(await printed(folder, 'json')).runs[0] as Json;
  const cells = (set: string): Json[] => filling.filter(({ map_set }: Json) => map_set === set);
  expect(cells('tow').length + cells('transit').length).toBe(filling.length);
  for (const set of ['tow', 'transit'] as const) {
    const believed = cells(set).filter((cell) => cell.believed);
    expect(believed.length, set).toBeGreaterThanOrEqual(4);
    for (const { now, measured } of believed) expect(measured / now).toBeCloseTo(ERRORS[set], 2);
  }

  const page = await printed(folder, 'html');
  const maps = [...page.matchAll(/Departures on the map, (\w+)<[\s\S]*?<tbody>([\s\S]*?)<\/tbody>/g)];
  expect(maps.map(([, set]) => set)).toEqual(['tow', 'transit']);
  for (const [, set, body] of maps) {
    const shown = [...body!.matchAll(/>([+−]\d+\.\d)</g)].map(([, text]) => Number(text!.replace('−', '-')));
    const percent = cells(set!).map(({ now, measured }) => Number(((measured / now - 1) * 100).toFixed(1)));
    expect([...shown].sort(), set).toEqual([...percent].sort());
  }
  expect(await printed(folder, 'markdown')).toMatch(/^\| Map set \| Row \| Column \|/m);

  const uri = pathToFileURL(`${folder}/x.run.yaml`).href;
  const fake = new FakeEditor();
  await fake.start();
  await fake.open(ROOM_RUN, uri);
  const view: Json = await fake.ask('enginewright/runView', { textDocument: { uri } });
  expect(view.maps.map(({ mapSets, cells }: Json) => [mapSets, cells.length])).toEqual([
    ['tow', cells('tow').length],
    ['transit', cells('transit').length],
  ]);
  const actions: Json = await fake.ask('textDocument/codeAction', {
    textDocument: { uri },
    range: { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } },
    context: { diagnostics: [] },
  });
  await fake.stop();
  const [edits]: Json[] = Object.values(actions.find(({ title }: Json) => /^Take/.test(title)).edit.changes);
  const lines = TEXT.split('\n');
  const inTransit = lines.indexOf('              - [82, 86, 85, 83]');
  const taken = edits.filter(({ range }: Json) => Math.abs(range.start.line - inTransit) <= 1);
  expect(taken).toHaveLength(cells('transit').filter(({ believed }) => believed).length);
  for (const { newText } of taken) expect(newText).toMatch(/^\d\d$/);
  expect(edits.length - taken.length).toBe(cells('tow').filter(({ believed }) => believed).length);
});

/** Transit with a map of its own that says the same as that for towing. */
const [BASE_MAP = ''] = /^ {2}volumetric_efficiency:\n(?: {4,}.*\n)+/m.exec(TEXT) ?? [];
const EQUAL = TEXT.replace(MAP, `        fuel:\n${BASE_MAP.replaceAll(/^/gm, ' '.repeat(8)).trimEnd()}\n`);

test.each([
  ['different', TEXT],
  ['equal', EQUAL],
])('runs with %s maps of two map sets are merged, each with its own', async (_, text) => {
  const folder = folderWith(csvOf(rowsOf(text).flat(), TERMS), ROOM_RUN, text);
  const whole = JSON.parse(await printed(folder, 'json')).runs[0] as Json;
  const parts = [];
  for (const [i, rows] of rowsOf(text).entries()) {
    const set = ['tow', 'transit'][i];
    const part = folderWith(
      csvOf(rows.map(({ map_set: _, ...row }) => row)),
      `${ROOM_RUN}map_set: ${set}\n`,
      text,
    );
    await enginewright('runs', `${part}/x.run.yaml`, '--partial', `${folder}/${set}.json`);
    parts.push(`${folder}/${set}.json`);
  }
  const { out, err } = await enginewright('runs', '--merge', ...parts, '--format', 'json');
  expect(err).toBe('');
  const { filling, rows } = JSON.parse(out).runs[0] as Json;
  expect(rows).toBe(whole.rows);
  const key = ({ map_set, row, column }: Json) => `${map_set} ${row} ${column}`;
  expect(filling.map(key).sort()).toEqual(whole.filling.map(key).sort());
  for (const cell of filling) {
    const same = whole.filling.find((one: Json) => key(one) === key(cell));
    expect(cell.measured).toBeCloseTo(same.measured, 9);
    expect(cell.standard_uncertainty).toBeCloseTo(same.standard_uncertainty, 9);
  }
});
