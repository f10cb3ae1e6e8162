import { expect, test } from 'vitest';
import { readInstallation } from '../../shared/configuration/installation.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { valueAtPath } from '../../shared/configuration/values.ts';
import { kindsOf, valueShapeAt } from '../../shared/storage/path.ts';
import { writtenParts } from '../../shared/storage/written.ts';
import { analyseCase } from '../support/fixture.ts';

const TEXT = `engine: { idle_speed: 1300 rpm, firing_order: [1, 3, 4, 2], layout: inline }
fuel:
  target_lambda:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 6000] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 100, 180] }
    values: [[1, 0.99], [0.95, 0.9], [0.86, 0.8]]
ignition: { advance_range: -10..40 deg }
sensors: { oil: { scaling: { 4.5 V: 10 bar gauge, 500 mV: 0 bar gauge } } }
`;
const project = createProject(() => TEXT);
const { configuration } = readInstallation(project, project.source('/case.engine.yaml')!);

/** The parts of a value as a field stores them: sizes, and numbers in canonical units. */
const kept = (path: string) =>
  writtenParts(valueAtPath(configuration, path.split('.'))!).map(({ name, rows, columns, numbers }) => [
    name,
    `${rows} x ${columns}`,
    numbers.map(({ canonical }) => canonical),
  ]);

test('a single value, a list and the two ends of a range', () => {
  expect(kept('engine.idle_speed')).toEqual([['values', '1 x 1', [1300]]]);
  expect(kept('engine.firing_order')).toEqual([['values', '1 x 4', [1, 3, 4, 2]]]);
  expect(kept('ignition.advance_range')).toEqual([['values', '1 x 2', [-10, 40]]]);
});

test('a map, row by row, with its axes', () => {
  expect(kept('fuel.target_lambda')).toEqual([
    ['values', '3 x 2', [1, 0.99, 0.95, 0.9, 0.86, 0.8]],
    ['x', '1 x 2', [1000, 6000]],
    ['y', '1 x 3', [30_000, 100_000, 180_000]],
  ]);
});

test('a relation is kept as a curve over its left side, rising', () => {
  expect(kept('sensors.oil.scaling')).toEqual([
    ['values', '1 x 2', [0, 1e6]],
    ['x', '1 x 2', [0.5, 4.5]],
  ]);
});

test('a word is kept as a word', () => {
  expect(writtenParts(valueAtPath(configuration, ['engine', 'layout'])!)).toMatchObject([
    { name: 'values', rows: 1, columns: 1, numbers: [], words: [{ word: 'inline', row: 0, column: 0 }] },
  ]);
});

test('sections, the inside of values and what is not there keep nothing', () => {
  for (const path of ['engine', 'fuel.target_lambda.x', 'engine.bore', 'constructor', '__proto__', '']) {
    expect(valueAtPath(configuration, path.split('.')), path).toBeUndefined();
  }
});

test('the schema says what kinds of number a path leads to', () => {
  const kinds = (path: string, part: 'values' | 'x' | 'y') => kindsOf(valueShapeAt(path)!, part);
  expect(kinds('fuel.target_lambda', 'values')).toEqual(['number']);
  expect(kinds('fuel.target_lambda', 'x')).toEqual(['rotational speed']);
  expect(kinds('sensors.anything.scaling', 'x')).toEqual(['voltage']);
  expect(kinds('engine.firing_order', 'values')).toEqual(['number']);
  expect(kinds('fuel.grade', 'values')).toEqual([]);
  expect(valueShapeAt('fuel.rail')).toBeUndefined();
  expect(valueShapeAt('fuel.target_lambda.values')).toBeUndefined();
});

/** The engine is checked whatever numbers the controller file contains, and whatever is missing. */
test.each([
  ['nothing but keys', 'storage: { size: , byte_order: , checksum: , fields: { engine.idle_speed: } }'],
  ['no address', 'storage: { fields: { engine.idle_speed: { type: u16 } } }'],
  [
    'sizes below zero',
    'storage: { size: -4 byte, fields: { fuel.target_lambda: { at: -1, type: u8, rows: -2, columns: -3, x_at: -4 } } }',
  ],
  [
    'sizes beyond all memory',
    'storage: { size: 1e300 byte, fields: { fuel.target_lambda: { at: 1e300, type: u8, rows: 1e300, columns: 1e300 } } }',
  ],
  [
    'parts of a byte',
    'storage: { size: 1 bit, checksum: { kind: crc-32, at: 0.5, over: 1..0 }, fields: { engine.idle_speed: { at: 0.5, type: u8 } } }',
  ],
  ['words and lists for fields', 'storage: { fields: { engine.idle_speed: u16, fuel.target_lambda: [1] } }'],
  [
    'paths that lead nowhere',
    'storage: { fields: { "": { at: 0, type: u8 }, .: { at: 0, type: u8 }, "a.__proto__": { at: 0, type: u8 } } }',
  ],
  ['limits of another kind', 'limits: { map_size: large, curve_size: -1, maximum_speed: 3 V }'],
])('%s', (_, controller) => {
  const text = `controllerfile: 1\npins: {}\n${controller}\n`;
  const engine = `enginefile: 1\ncontroller: ./case.controller.yaml\n${TEXT}`;
  const files = [
    ['case.engine.yaml', engine],
    ['case.controller.yaml', text],
  ] as const;
  for (const order of [files, [...files].reverse()]) {
    const { findings } = analyseCase(new Map(order));
    expect(findings.length).toBeGreaterThan(0);
    for (const { message } of findings) expect(message).not.toMatch(/undefined|NaN|null/);
  }
});
