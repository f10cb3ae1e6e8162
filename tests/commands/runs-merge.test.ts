import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { csvOf, engineOf, syntheticRows } from '../../samples/runs/synthetic.ts';
import { enginewright, folderOf } from '../support/command-line.ts';
import { SAMPLES } from '../support/samples.ts';

const TEXT = readFileSync(`${SAMPLES}dotterel/dotterel-16t.engine.yaml`, 'utf8');
const RUN = (data: string) => `runfile: 1
engine: ./dotterel-16t.engine.yaml
data: ./${data}.csv
kind: brake
room: { pressure: 99.6 kPa abs, temperature: 24 °C, humidity: 45 % }
map_set: tow
exhaust_delay: 0 s
`;

// biome-ignore lint/suspicious/noExplicitAny: the JSON of the command, whose keys these tests check.
type Json = any;

/** Numbers that differ by rounding, or entries in another order, are the same. */
function compare(merged: Json, whole: Json): void {
  expect(merged.rows).toBe(whole.rows);
  expect(merged.steady_rows).toBe(whole.steady_rows);
  const close = (a: number, b: number) =>
    expect(Math.abs(a - b)).toBeLessThan(1e-9 * Math.max(1e-12, Math.abs(b)) + 1e-13);
  for (const name of ['agreement', 'filling', 'power', 'limits']) {
    expect(merged[name].length, name).toBe(whole[name].length);
    for (const [i, entry] of merged[name].entries()) {
      for (const [key, value] of Object.entries(whole[name][i])) {
        if (key === 'row' && name === 'limits') continue;
        if (typeof value === 'number' && typeof entry[key] === 'number') close(entry[key], value);
        else if (typeof value === 'boolean' || typeof value === 'string')
          expect(entry[key], `${name}.${key}`).toBe(value);
      }
    }
  }
}

test('the sums of parts of a run give the result of the whole, in any order', async () => {
  const states = [4000, 4800, 5400].flatMap((speed) =>
    [115e3, 145e3].map((pressure) => ({ speed, throttle: 1, pressure, time: 6 })),
  );
  const rows = syntheticRows(engineOf(TEXT, 'tow'), {
    ...{ states, noise: 0.01, altitude: 144.2, deviation: 9.936 },
    filling: (row, column) => 1.02 + 0.01 * Math.cos(row * column),
  });
  // The parts end where the whole has gaps, so that both have the same steady stretches.
  const spread = rows.map((row) => ({ ...row, time: row.time! + 100 * Math.floor(row.time! / 12 + 1e-9) }));
  const parts = [0, 1, 2].map((part) => spread.filter((_, i) => Math.floor(i / 120) === part));
  const folder = folderOf({
    'dotterel-16t.engine.yaml': TEXT,
    'whole.csv': csvOf(spread),
    'whole.run.yaml': RUN('whole'),
    ...Object.fromEntries(
      parts.flatMap((part, i) => [
        [`part-${i}.csv`, csvOf(part)],
        [`part-${i}.run.yaml`, RUN(`part-${i}`)],
      ]),
    ),
  });
  const json = async (...args: string[]): Promise<Json> => {
    const { status, out, err } = await enginewright('runs', ...args, '--format', 'json');
    expect(err).toBe('');
    expect(status).toBe(0);
    return JSON.parse(out);
  };
  const {
    runs: [whole],
  } = await json(`${folder}/whole.run.yaml`);
  for (const i of [0, 1, 2]) {
    const { status } = await enginewright(
      'runs',
      `${folder}/part-${i}.run.yaml`,
      '--partial',
      `${folder}/${i}.json`,
    );
    expect(status).toBe(0);
  }
  for (const order of [
    [0, 1, 2],
    [2, 0, 1],
    [1, 2, 0],
  ]) {
    const {
      runs: [merged],
    } = await json('--merge', ...order.map((i) => `${folder}/${i}.json`));
    compare(merged, whole);
    expect(merged.files).toHaveLength(3);
    for (const limit of merged.limits.filter(({ closest }: Json) => closest !== null))
      expect(limit.path).toMatch(/part-\d\.run\.yaml$/);
  }
  // A merged part may itself be merged.
  await enginewright(
    'runs',
    `${folder}/part-0.run.yaml`,
    `${folder}/part-2.run.yaml`,
    '--partial',
    `${folder}/02.json`,
  );
  compare((await json('--merge', `${folder}/1.json`, `${folder}/02.json`)).runs[0], whole);
});

/** A folder with the sums `a.json` of a run, and the run `b` of another engine file or with another run file. */
async function folderWith(engine: string, run = RUN('data')): Promise<string> {
  const data = csvOf(
    syntheticRows(engineOf(TEXT, 'tow'), { states: [{ speed: 5000, throttle: 1, time: 2 }] }),
  );
  const folder = folderOf({
    'dotterel-16t.engine.yaml': TEXT,
    'other.engine.yaml': engine,
    'data.csv': data,
    'a.run.yaml': RUN('data'),
    'b.run.yaml': run.replace('dotterel-16t', 'other'),
  });
  for (const name of ['a', 'b'])
    await enginewright('runs', `${folder}/${name}.run.yaml`, '--partial', `${folder}/${name}.json`);
  return folder;
}

test.each([
  ['a cell of a map', '87.1, 86.9', '87.2, 86.9'],
  ['a limit', 'caution: 105 °C', 'caution: 104 °C'],
  ['the delay of a limit', 'hysteresis: 3 K\n    delay: 2 s', 'hysteresis: 3 K\n    delay: 3 s'],
  ['a limit of another map set', 'overboost_cut: 150 kPa abs', 'overboost_cut: 151 kPa abs'],
  ['the displacement', /^ {2}stroke: \d+/m, '  stroke: 60'],
  ['the injectors', 'static_flow: 350', 'static_flow: 351'],
  ['the heating value', 'grade: mogas-e5', 'grade: mogas-e5\n  lower_heating_value: 41 MJ/kg'],
])('parts of engines that differ in %s are not merged', async (_, from, to) => {
  const other = TEXT.replace(from, to);
  expect(other).not.toBe(TEXT);
  const folder = await folderWith(other);
  const { status, err } = await enginewright('runs', '--merge', `${folder}/a.json`, `${folder}/b.json`);
  expect(status).toBe(2);
  expect(err).toContain('runs of different engines');
});

test('parts of engines that differ in a comment only are merged', async () => {
  const folder = await folderWith(`# Another revision.\n${TEXT}`);
  const { status } = await enginewright('runs', '--merge', `${folder}/a.json`, `${folder}/b.json`);
  expect(status).toBe(0);
});

test('runs with other speed bins are neither merged nor compared', async () => {
  const folder = await folderWith(TEXT, `${RUN('data')}speed_bins: 200 rpm\n`);
  const [a, b] = [`${folder}/a`, `${folder}/b`];
  const merged = await enginewright('runs', '--merge', `${a}.json`, `${b}.json`);
  const partial = await enginewright(
    'runs',
    `${a}.run.yaml`,
    `${b}.run.yaml`,
    '--partial',
    `${folder}/c.json`,
  );
  const compared = await enginewright('runs', `${a}.run.yaml`, '--against', `${b}.run.yaml`);
  const sums = await enginewright('runs', '--merge', `${a}.json`, '--against', `${b}.json`);
  for (const { status, err } of [merged, partial, compared, sums]) {
    expect(status).toBe(2);
    expect(err).toMatch(/different widths of speed bins \((100 and 200|200 and 100) rpm\)/);
  }
});

test('other files are not merged', async () => {
  const folder = folderOf({ 'c.json': '{}' });
  const { status, err } = await enginewright('runs', '--merge', `${folder}/c.json`);
  expect(status).toBe(2);
  expect(err).toContain("was not written by 'enginewright runs --partial'");
});
