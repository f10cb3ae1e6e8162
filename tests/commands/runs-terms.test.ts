import { readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { expect, test } from 'vitest';
import { csvOf, engineOf, syntheticRows, type Terms } from '../../samples/runs/synthetic.ts';
import { FakeEditor } from '../features/fake-editor.ts';
import { enginewright, folderOf } from '../support/command-line.ts';
import { SAMPLES } from '../support/samples.ts';

const CONTROLLER = readFileSync(`${SAMPLES}dotterel/four-channel.controller.yaml`, 'utf8');
/** A limit of the fuel flow by volume, and one by mass. */
const TEXT = readFileSync(`${SAMPLES}dotterel/dotterel-16t.engine.yaml`, 'utf8')
  .replace(/^( +)grade: .*$/m, '$&\n$1density: 745 kg/m3')
  .replace(
    /^protection:\n/m,
    `protection:
  flow_by_volume: { watches: fuel_flow, above: { caution: 40 L/h }, action: [light] }
  flow_by_mass: { watches: fuel_flow, above: { caution: 30 kg/h }, action: [light] }
`,
  );
const RUN = `runfile: 1
engine: ./dotterel-16t.engine.yaml
data: ./data.csv
kind: brake
room: { pressure: 99.6 kPa abs, temperature: 24 °C }
map_set: tow
exhaust_delay: 0 s
accuracy: { manifold_pressure: ± 1 kPa, fuel_flow: ± 0.5 L/h }
`;
/** As stated, kg/m³. */
const DENSITY = 745;

const ROWS = syntheticRows(engineOf(TEXT, 'tow'), {
  states: [4000, 4800, 5400].map((speed) => ({ speed, throttle: 1, time: 3 })),
  ...{ noise: 0.01, altitude: 144.2, deviation: 9.936, filling: () => 1.02 },
});
// So many decimals that the last one does not matter.
const BY_MASS: Terms = {
  manifold_pressure: ['kPa abs', 9, (x) => x / 1000],
  fuel_flow: ['kg/h', 9, (x) => x * 3600],
};
const BY_VOLUME: Terms = {
  manifold_pressure: ['kPa gauge', 9, (x) => (x - 99_600) / 1000],
  fuel_flow: ['L/h', 9, (x) => (x * 3600 * 1000) / DENSITY],
};

const folderIn = (terms: Terms): string =>
  folderOf({
    'dotterel-16t.engine.yaml': TEXT,
    'four-channel.controller.yaml': CONTROLLER,
    'data.csv': csvOf(ROWS, terms),
    'x.run.yaml': RUN,
  });

// biome-ignore lint/suspicious/noExplicitAny: the JSON of the command, whose keys these tests check.
type Json = any;

const runIn = async (terms: Terms): Promise<Json> => {
  const { out, err } = await enginewright('runs', `${folderIn(terms)}/x.run.yaml`, '--format', 'json');
  expect(err).toBe('');
  return JSON.parse(out).runs[0];
};

/** Every number of two documents is the same, to rounding. */
function same(one: Json, other: Json, at = ''): void {
  if (typeof one === 'number') {
    expect(typeof other, at).toBe('number');
    expect(Math.abs(one - other), `${at}: ${one} and ${other}`).toBeLessThan(1e-6 * Math.abs(other) + 1e-9);
  } else if (one !== null && typeof one === 'object') {
    expect(Object.keys(one), at).toEqual(Object.keys(other));
    for (const [key, value] of Object.entries(one)) same(value, other[key], `${at}.${key}`);
  } else expect(one, at).toBe(other);
}

test('a run says the same, whether pressure and flow are logged as gauge and by volume or not', async () => {
  const [mass, volume] = [await runIn(BY_MASS), await runIn(BY_VOLUME)];
  for (const name of ['steady', 'agreement', 'limits', 'outside_envelope', 'filling', 'power'])
    same(volume[name], mass[name], name);
  const limit = (at: string) => mass.limits.find((one: Json) => one.at.startsWith(at));
  const highest = Math.max(...ROWS.map(({ fuel_flow }) => fuel_flow!));
  expect(limit('protection.flow_by_mass').closest).toBeCloseTo(highest, 9);
  expect(limit('protection.flow_by_volume').closest).toBeCloseTo(highest / DENSITY, 9);
  const flow = mass.agreement.find(({ quantity }: Json) => quantity === 'fuel_flow');
  // ± 0.5 L/h.
  expect(flow.accuracy).toBeCloseTo((0.5 / 1000 / 3600) * DENSITY, 12);
  expect(mass.filling.length).toBeGreaterThan(0);
});

test.each([
  ['absolute and by mass', BY_MASS, 0, 1],
  ['gauge and by volume', BY_VOLUME, 99.6, 1000 / DENSITY],
])(
  'a column is drawn as it is logged, with the levels of its limits: %s',
  async (_, terms, ambient, perMass) => {
    const folder = folderIn(terms);
    const uri = pathToFileURL(`${folder}/x.run.yaml`).href;
    const fake = new FakeEditor();
    await fake.start();
    await fake.open(RUN, uri);
    const view: Json = await fake.ask('enginewright/runView', { textDocument: { uri } });
    const steps: Json = await fake.ask('enginewright/runSteps', {
      textDocument: { uri },
      ...{ from: view.span[0], to: view.span[1], most: 1000 },
    });
    await fake.stop();
    const lines = readFileSync(`${folder}/data.csv`, 'utf8').trim().split('\n').slice(2);
    expect(steps.times).toHaveLength(lines.length);
    const names = Object.keys(ROWS[0]!);
    for (const [i, { name }] of view.columns.entries())
      for (const [row, line] of lines.entries()) {
        const logged = Number(line.split(',')[names.indexOf(name)]);
        // Rows are kept with seven digits.
        expect(Math.abs(steps.lows[i][row] - logged), name).toBeLessThan(1e-6 * Math.abs(logged) + 1e-4);
      }
    const levels = (name: string, at: string): number =>
      view.columns
        .find((column: Json) => column.name === name)
        .levels.find(({ label }: Json) => label.startsWith(at)).value;
    const cut = levels('manifold_pressure', 'boost.overboost_cut');
    expect(cut + ambient).toBeCloseTo(OVERBOOST, 6);
    expect(levels('fuel_flow', 'protection.flow_by_mass')).toBeCloseTo(30 * perMass, 6);
    expect(levels('fuel_flow', 'protection.flow_by_volume')).toBeCloseTo((40 * DENSITY * perMass) / 1000, 6);
  },
);

/** `boost.overboost_cut`, kPa absolute. */
const OVERBOOST = Number(/overboost_cut: (\d+) kPa abs/.exec(TEXT)![1]);

test('without its column a quantity is never steady', async () => {
  for (const name of ['engine_speed', 'manifold_pressure']) {
    const rows = ROWS.map((row) => {
      const { [name]: _, ...others } = row;
      return others as Record<string, number>;
    });
    const folder = folderOf({
      'dotterel-16t.engine.yaml': TEXT,
      'four-channel.controller.yaml': CONTROLLER,
      'data.csv': csvOf(rows),
      'x.run.yaml': RUN,
    });
    const { out } = await enginewright('runs', `${folder}/x.run.yaml`, '--format', 'json');
    expect((JSON.parse(out) as Json).runs[0].steady).toEqual([]);
  }
});

test('without a density, a flow by mass is not compared with a limit by volume', async () => {
  const folder = folderOf({
    'dotterel-16t.engine.yaml': TEXT.replace(/^ +(grade|density): .*\n/gm, ''),
    'four-channel.controller.yaml': CONTROLLER,
    'data.csv': csvOf(ROWS, BY_MASS),
    'x.run.yaml': RUN,
  });
  const { out } = await enginewright('runs', `${folder}/x.run.yaml`, '--format', 'json');
  const { limits } = (JSON.parse(out) as Json).runs[0];
  const limit = (at: string) => limits.find((one: Json) => one.at.startsWith(at));
  expect(limit('protection.flow_by_volume')).toMatchObject({ logged: false, closest: null });
  expect(limit('protection.flow_by_mass')).toMatchObject({ logged: true, level: 30 / 3600 });
});
