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

test('parts of different engines, and other files, are not merged', async () => {
  const data = csvOf(
    syntheticRows(engineOf(TEXT, 'tow'), { states: [{ speed: 5000, throttle: 1, time: 2 }] }),
  );
  const folder = folderOf({
    'dotterel-16t.engine.yaml': TEXT,
    'other.engine.yaml': TEXT.replace('87.1, 86.9', '87.2, 86.9'),
    'data.csv': data,
    'a.run.yaml': RUN('data'),
    'b.run.yaml': RUN('data').replace('dotterel-16t', 'other'),
    'c.json': '{}',
  });
  for (const name of ['a', 'b'])
    await enginewright('runs', `${folder}/${name}.run.yaml`, '--partial', `${folder}/${name}.json`);
  const mixed = await enginewright('runs', '--merge', `${folder}/a.json`, `${folder}/b.json`);
  expect(mixed.status).toBe(2);
  expect(mixed.err).toContain('runs of different engines');
  const wrong = await enginewright('runs', '--merge', `${folder}/c.json`);
  expect(wrong.err).toContain("was not written by 'enginewright runs --partial'");
});
