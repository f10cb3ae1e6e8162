import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import {
  csvOf,
  engineOf,
  type SyntheticRow,
  syntheticRows,
  type Terms,
} from '../../samples/runs/synthetic.ts';
import { ambientPressure, ambientTemperature } from '../../shared/physics/atmosphere.ts';
import { enginewright, folderOf } from '../support/command-line.ts';
import { SAMPLES } from '../support/samples.ts';

const TEXT = readFileSync(`${SAMPLES}dotterel/dotterel-16t.engine.yaml`, 'utf8');
const CONTROLLER = readFileSync(`${SAMPLES}dotterel/four-channel.controller.yaml`, 'utf8');
const RUN = `runfile: 1
engine: ./dotterel-16t.engine.yaml
data: ./data.csv
kind: flight
map_set: tow
exhaust_delay: 0 s
`;

/** Far from every state that could be assumed: a warm day high up, a cool engine, a weak battery. */
const STATE = { altitude: 2000, deviation: 15, coolant: 273.15 + 55, voltage: 12.2 };
const AIR = {
  ambient_pressure: ambientPressure({ altitude: STATE.altitude }),
  ambient_temperature: ambientTemperature({ altitude: STATE.altitude, deviation: STATE.deviation }),
  knock_retard: 3,
};
const TERMS: Terms = {
  ambient_pressure: ['Pa abs', 3, (x) => x],
  ambient_temperature: ['K', 4, (x) => x],
  intake_air_temperature: ['K', 4, (x) => x],
  charge_temperature: ['K', 4, (x) => x],
  knock_retard: ['deg', 1, (x) => x],
  injector_pulse_width: ['ms', 6, (x) => x * 1000],
  ignition_advance: ['deg', 4, (x) => x],
};
const ROWS: readonly SyntheticRow[] = syntheticRows(engineOf(TEXT, 'tow'), {
  states: [4000, 4800, 5200].map((speed) => ({ speed, throttle: 1, time: 5 })),
  ...STATE,
}).map((row) => ({ ...row, ...AIR, ignition_advance: row.ignition_advance! - AIR.knock_retard }));

// biome-ignore lint/suspicious/noExplicitAny: the JSON of the command, whose keys these tests check.
type Json = any;

async function runOf(rows: readonly SyntheticRow[]): Promise<Json> {
  const folder = folderOf({
    'dotterel-16t.engine.yaml': TEXT,
    'four-channel.controller.yaml': CONTROLLER,
    'data.csv': csvOf(rows, TERMS),
    'x.run.yaml': RUN,
  });
  const { out, err } = await enginewright('runs', `${folder}/x.run.yaml`, '--format', 'json');
  expect(err).toBe('');
  return JSON.parse(out).runs[0];
}

const COLUMNS = Object.keys(ROWS[0]!).filter((name) => name !== 'time');
const without = (...names: readonly string[]): SyntheticRow[] =>
  ROWS.map((row) => Object.fromEntries(Object.entries(row).filter(([name]) => !names.includes(name))));

test('a complete log agrees with the text', async () => {
  const { agreement, notes } = await runOf(ROWS);
  expect(agreement).toHaveLength(7);
  for (const { quantity, n, departs } of agreement) {
    expect(n, quantity).toBe(150);
    expect(departs, quantity).toBe(false);
  }
  expect(notes.join()).not.toContain('assumed');
});

test.each(COLUMNS)('an empty cell of %s is missing, and nothing is assumed for it', async (name) => {
  const whole = await runOf(ROWS);
  const { agreement, filling } = await runOf(
    ROWS.map((row, i) => (i % 2 ? { ...row, [name]: Number.NaN } : row)),
  );
  for (const { quantity, mean_residual, measured, n, departs } of agreement) {
    expect([75, 150], quantity).toContain(n);
    expect(departs, quantity).toBe(false);
    const same = whole.agreement.find((one: Json) => one.quantity === quantity);
    expect(Math.abs(mean_residual - same.mean_residual), quantity).toBeLessThan(1e-4 * Math.abs(measured));
  }
  expect(agreement).toHaveLength(7);
  expect(filling.length).toBeGreaterThan(0);
  for (const { now, measured } of filling) expect(Math.abs(measured / now - 1)).toBeLessThan(0.003);
});

test.each([
  ['ambient_pressure', 'Ambient pressure is not measured; that of sea level is assumed.'],
  ['ambient_temperature', 'Ambient temperature is not measured; that of the standard atmosphere is assumed.'],
  ['coolant_temperature', 'No coolant_temperature is logged; a warm engine at 90 °C is assumed.'],
  ['battery_voltage', 'No battery_voltage is logged; the nominal 13.8 V are assumed.'],
])('what is assumed without a column %s is told', async (name, note) => {
  expect((await runOf(ROWS)).notes).not.toContain(note);
  expect((await runOf(without(name))).notes).toContain(note);
});

test('the temperature of the intake air stands for that of the air, which is told', async () => {
  const { notes } = await runOf(
    without('ambient_temperature').map((row) => ({
      ...row,
      intake_air_temperature: AIR.ambient_temperature,
    })),
  );
  expect(notes).toContain(
    'Ambient temperature is not logged; the logged intake air temperature is taken for it.',
  );
});
