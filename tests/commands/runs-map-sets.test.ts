import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { enginewright, folderOf } from '../support/command-line.ts';
import { SAMPLES } from '../support/samples.ts';

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
`,
  );
const RUN = `runfile: 1
engine: ./dotterel-16t.engine.yaml
data: ./data.csv
kind: flight
exhaust_delay: 0 s
`;

// biome-ignore lint/suspicious/noExplicitAny: the JSON of the command, whose keys these tests check.
type Json = any;

async function runOf(data: string, engine = TEXT): Promise<Json> {
  const folder = folderOf({
    'dotterel-16t.engine.yaml': engine,
    'four-channel.controller.yaml': readFileSync(`${SAMPLES}dotterel/four-channel.controller.yaml`, 'utf8'),
    'data.csv': data,
    'x.run.yaml': RUN,
  });
  const { out, err } = await enginewright('runs', `${folder}/x.run.yaml`, '--format', 'json');
  expect(err).toBe('');
  return JSON.parse(out).runs[0];
}

test('a limit of one map set is lit only while that set is selected', async () => {
  // At 100 °C, only the limit of the second set is exceeded.
  const sets = ['tow', 'tow', 'transit', 'transit', 'transit', 'tow', 'tow', 'tow', 'transit', 'tow'];
  const rows = sets.map((set, time) => `${time},100,${set},${set === 'transit' ? 1 : 0}`);
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
