import { describe, expect, test } from 'vitest';
import { decodeImage } from '../../shared/storage/decode.ts';
import { imageOf, memoryOf, stored } from '../support/built-image.ts';

const MAP = `ignition:
  advance:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 6000] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 180] }
    unit: deg
    values: [[20, 30], [10, 20]]
fuel:
  injectors:
    dead_time:
      x: { quantity: battery_voltage, unit: V, breakpoints: [8, 12, 16] }
      unit: ms
      values: [2.7, 1.3, 0.8]
`;

/** What is read from the image that is built of the map. */
function readBack(storage: string, engine = MAP) {
  const installation = stored(engine, storage);
  const built = imageOf(installation);
  expect(built.faults).toEqual([]);
  return decodeImage(installation.controller!, memoryOf(built.bytes, built.window));
}

describe.each(['u8', 'i8', 'u16', 'i16', 'u32', 'i32', 'f32', 'f64'])('unused places of %s', (type) => {
  test.each(['0xFF', '0', '0x40'])('filled with %s are not read as values', (fill) => {
    const parts = readBack(`byte_order: little
size: 1 KiB
unused: fill
fill: ${fill}
fields:
  ignition.advance: { at: 0, type: ${type}, scale: 1 deg, rows: 4, columns: 3, x_at: 256, x_scale: 100 rpm, y_at: 320, y_scale: 10 kPa, y_offset: 0 kPa abs }
  fuel.injectors.dead_time: { at: 512, type: ${type}, scale: 0.1 ms, columns: 3, x_at: 640, x_scale: 1 V }
`);
    expect(parts.map(({ name, rows, columns, texts }) => [name, rows, columns, texts.map(Number)])).toEqual([
      ['values', 2, 2, [20, 30, 10, 20]],
      ['x', 1, 2, [1000, 6000]],
      ['y', 1, 2, [30, 180]],
      ['values', 1, 3, [2.7, 1.3, 0.8].map((number) => (type === 'f32' ? expect.closeTo(number) : number))],
      ['x', 1, 3, [8, 12, 16]],
    ]);
  });
});

test('a value that is not in the image has neither rows nor columns', () => {
  const parts = readBack(
    `byte_order: little
size: 64 byte
unused: fill
fields:
  fuel.injectors.dead_time: { at: 0, type: u16, scale: 0.001 ms, columns: 3, x_at: 16, x_scale: 0.1 V }
`,
    'engine: { cylinders: 4 }',
  );
  expect(parts).toMatchObject([
    { name: 'values', columns: 0, texts: [] },
    { name: 'x', columns: 0, texts: [] },
  ]);
});
