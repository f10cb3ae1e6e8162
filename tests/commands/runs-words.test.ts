import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import {
  csvOf,
  engineOf,
  type SyntheticRow,
  syntheticRows,
  type Terms,
} from '../../samples/runs/synthetic.ts';
import { enginewright, folderOf } from '../support/command-line.ts';
import { SAMPLES } from '../support/samples.ts';

const TEXT = readFileSync(`${SAMPLES}dotterel/dotterel-16t.engine.yaml`, 'utf8');
const RUN = `runfile: 1
engine: ./dotterel-16t.engine.yaml
data: ./data.csv
kind: brake
room: { pressure: 99.6 kPa abs, temperature: 24 °C }
map_set: tow
exhaust_delay: 0 s
`;
const TERMS: Terms = { lambda_trim: ['', 3, (x) => x] };
const ROWS = syntheticRows(engineOf(TEXT, 'tow'), {
  states: [4000, 4800].map((speed) => ({ speed, throttle: 1, time: 5 })),
  ...{ altitude: 144.2, deviation: 9.936 },
});

/** What a run of these rows prints, without line breaks. */
async function printed(data: string, format = 'markdown'): Promise<string> {
  const folder = folderOf({
    'dotterel-16t.engine.yaml': TEXT,
    'four-channel.controller.yaml': readFileSync(`${SAMPLES}dotterel/four-channel.controller.yaml`, 'utf8'),
    'data.csv': data,
    'x.run.yaml': RUN,
  });
  const { out, err } = await enginewright('runs', `${folder}/x.run.yaml`, '--format', format);
  expect(err).toBe('');
  return format === 'json' ? out : out.replaceAll('\\', '').replace(/\s+/g, ' ');
}

const without = (rows: readonly SyntheticRow[], ...names: readonly string[]): SyntheticRow[] =>
  rows.map((row) => Object.fromEntries(Object.entries(row).filter(([name]) => !names.includes(name))));

test('a run without anything to compare does not claim to agree', async () => {
  const nothing = await printed('time,oil_pressure\ns,kPa gauge\n0,300\n1,310\n');
  expect(nothing).toContain('Nothing could be compared with the text');
  expect(nothing).not.toContain('No derived value departs');
  const agreeing = await printed(csvOf(ROWS));
  expect(agreeing).toContain('No derived value departs from the text.');
  expect(agreeing).not.toContain('on average');
});

test('departures of stretches that cancel out are not called agreement', async () => {
  const rows = ROWS.map((row) => ({
    ...row,
    fuel_flow: row.fuel_flow! + (row.engine_speed! < 4400 ? 1 : -1) * 1e-4,
  }));
  const text = await printed(csvOf(rows));
  expect(text).toContain('No derived value departs from the text on average');
  expect(text).toMatch(/\| Fuel flow \|[^|]*\|[^|]*\| 2 of 2 \| agrees on average \|/);
  expect(text).toMatch(/\| Ignition advance \|[^|]*\|[^|]*\| 0 of 2 \| agrees \|/);
});

test('consumption that is not measured says where its fuel comes from', async () => {
  expect(await printed(csvOf(ROWS))).not.toContain('No fuel_flow is logged');
  expect(await printed(csvOf(without(ROWS, 'fuel_flow')))).toContain(
    'specific consumption is that of the fuel of the logged injector_pulse_width',
  );
  expect(await printed(csvOf(without(ROWS, 'fuel_flow', 'injector_pulse_width')))).toContain(
    'specific consumption is that of the fuel as derived from the text',
  );
  expect(await printed(csvOf(without(ROWS, 'fuel_flow', 'torque')))).not.toContain('specific consumption');
});

test.each([
  [0, true],
  [0.5, true],
  [0.51, false],
  [-0.51, false],
  // No correction, but a factor, or a percentage of one.
  [1, false],
  [100, false],
])('a lambda trim of %d is a correction: %s', async (trim, isCorrection) => {
  const rows = without(ROWS, 'injector_pulse_width').map((row) => ({ ...row, lambda_trim: trim }));
  const { filling, agreement, notes } = JSON.parse(await printed(csvOf(rows, TERMS), 'json')).runs[0];
  const compared = agreement.map(({ quantity }: { quantity: string }) => quantity);
  expect(filling.length > 0).toBe(isCorrection);
  expect(compared.includes('fuel_flow')).toBe(isCorrection);
  expect(compared).toContain('ignition_advance');
  expect(notes.includes('A lambda_trim beyond ± 50 % cannot be a correction, so it counts as missing.')).toBe(
    !isCorrection,
  );
});

test('everything that makes a cell believed is named', async () => {
  expect(await printed(csvOf(ROWS))).toContain(
    'at least 20 effective rows, a standard uncertainty of noise below 1 % of the cell, and an uncertainty below 33.3 % of the change.',
  );
});
