import { assert as check, property, uint8Array } from 'fast-check';
import { describe, expect, test } from 'vitest';
import { imageValuesJson, imageValuesText } from '../../server/formats/image-values.ts';
import { decodeImage } from '../../shared/storage/decode.ts';
import { storedParts } from '../../shared/storage/stored-parts.ts';
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

/** The text of an engine file with the values of an image, and their JSON. */
function printed(storage: string, engine = MAP) {
  const parts = readBack(storage, engine);
  return {
    text: imageValuesText(parts, 'x.bin', 'a.controller.yaml'),
    fields: JSON.parse(imageValuesJson(parts)).fields as { part: string; unit: unknown; values: unknown }[],
  };
}

describe('what the layout does not state is not invented', () => {
  const layout = (fields: string) => `byte_order: little\nsize: 64 byte\nfields:\n  ${fields}\n`;

  test('the unit of breakpoints without a scale, which are numbers of the unit in the text', () => {
    const { text, fields } = printed(
      layout('fuel.injectors.dead_time: { at: 0, type: u16, scale: 0.001 ms, columns: 3, x_at: 16 }'),
    );
    expect(text).toContain(
      'x: { quantity: battery_voltage, breakpoints: [8, 12, 16] } # the image does not state the unit\n',
    );
    expect(fields.map(({ part, unit, values }) => [part, unit, values])).toEqual([
      ['values', 'ms', [2.7, 1.3, 0.8]],
      ['x', null, [8, 12, 16]],
    ]);
  });

  test('values without a scale are canonical, so they have a unit whatever the text says', () => {
    const { fields } = printed(layout('fuel.injectors.dead_time: { at: 0, type: f64, columns: 3 }'));
    expect(fields).toMatchObject([{ unit: 'ms', values: [2.7, 1.3, 0.8] }]);
  });

  test.each([
    ['0.1 kPa', '', 'unit: kPa, breakpoints: [30, 180] } # the image does not state the pressure reference'],
    ['0.1 kPa', 'y_offset: 0 kPa abs, ', 'unit: kPa abs, breakpoints: [30, 180] }'],
    ['0.1 kPa abs', '', 'unit: kPa abs, breakpoints: [30, 180] }'],
  ])('the pressure reference of a scale of %s, %s', (scale, offset, expected) => {
    const fields = `ignition.advance: { at: 0, type: u8, scale: 0.5 deg, rows: 2, columns: 2, ${offset}y_at: 16, y_type: u16, y_scale: ${scale} }`;
    expect(printed(layout(fields)).text).toContain(`y: { quantity: manifold_pressure, ${expected}\n`);
  });

  const INJECTION = (axis: string) => `fuel:
  injection_end:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 6000] }
    y: { ${axis} }
    unit: deg
    values: [[300, 330], [310, 340]]
`;
  test.each([
    [
      'y_scale: 0.1 kPa abs',
      'quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 180]',
      'y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 180] }\n',
    ],
    [
      'y_scale: 1 %',
      'quantity: throttle_position, unit: "%", breakpoints: [0, 50]',
      'y: { quantity: throttle_position, unit: "%", breakpoints: [0, 50] }\n',
    ],
    [
      'y_type: u16',
      'quantity: throttle_position, unit: "%", breakpoints: [0, 50]',
      'y: { breakpoints: [0, 50] } # the image does not state the quantity: manifold_pressure or throttle_position, nor the unit\n',
    ],
  ])('the quantity of an axis with %s', (scale, axis, expected) => {
    const fields = `fuel.injection_end: { at: 0, type: u16, scale: 1 deg, rows: 2, columns: 2, y_at: 16, ${scale} }`;
    expect(printed(layout(fields), INJECTION(axis)).text).toContain(expected);
  });
});

describe.each(['u8', 'i8', 'u16', 'i16', 'u32', 'i32', 'f32', 'f64'])('numbers of %s', (type) => {
  test.each(['', 'scale: 1 deg', 'scale: 0.25 deg, offset: -10.5 deg', 'scale: -0.3 deg, offset: 1 deg'])(
    'with `%s` are read as a text that is stored as the same bytes',
    (scale) => {
      const storage = `byte_order: little
size: 64 byte
fields:
  ignition.advance: { at: 0, type: ${type}, ${scale}${scale && ', '}rows: 2, columns: 2, x_at: 32, x_type: u16, x_scale: 1 rpm, y_at: 36, y_type: u16, y_scale: 0.1 kPa abs }
`;
      const installation = stored(MAP, storage);
      const start = imageOf(installation);
      const size = (4 * Number(type.slice(1))) / 8;
      check(
        property(uint8Array({ minLength: size, maxLength: size }), (random) => {
          const bytes = start.bytes.slice();
          bytes.set(random);
          const parts = decodeImage(installation.controller!, memoryOf(bytes, start.window));
          const [values] = parts;
          const isText = values!.raw.every((raw) => Number.isFinite(raw) && !Object.is(raw, -0));
          expect(values!.texts.every((text) => text !== undefined)).toBe(isText);
          if (!isText) return;
          const text = imageValuesText(parts, 'x.bin', 'a.controller.yaml').replace(/^enginefile.*/m, '');
          const again = stored(text, storage);
          expect(storedParts(again).faults).toEqual([]);
          expect(imageOf(again).bytes).toEqual(bytes);
        }),
        { numRuns: 40 },
      );
    },
  );
});

test('a value is read exactly where a short text states it, and a floating-point number as the shortest', () => {
  const read = (storage: string) =>
    readBack(`byte_order: little\nsize: 64 byte\nfields:\n  ${storage}\n`)[0]!.texts;
  const field = 'fuel.injectors.dead_time: { at: 0, columns: 3,';
  // 2.7 ms are 10.8 counts.
  expect(read(`${field} type: u16, scale: 0.25 ms }`)).toEqual(['2.75', '1.25', '0.75']);
  expect(read(`${field} type: f32, scale: 1 ms }`)).toEqual(['2.7', '1.3', '0.8']);
  expect(read(`${field} type: f32, scale: 1e15 ms }`)).toEqual(['2.7', '1.3', '0.8']);
});
