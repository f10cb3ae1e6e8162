import { expect, test } from 'vitest';
import { homecoming } from '../../shared/storage/homecoming.ts';
import { labelOf } from '../../shared/storage/stored-parts.ts';
import { compareImage } from '../../shared/storage/verify.ts';
import { edited, imageOf, memoryOf, stored } from '../support/built-image.ts';

const map = (breakpoints: string, unit: string, values: string) => `
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 6000] }
    y: { quantity: manifold_pressure, unit: ${unit}, breakpoints: [${breakpoints}] }
    ${values}`;
const MAPS = `fuel:
  target_lambda:${map('30, 180', 'kPa abs', 'values: [[1, 0.995], [0.865, 0.8]]')}
ignition:
  advance:${map('300, 1800', 'hPa abs', 'unit: deg\n    values: [[20, 30], [10, 20]]')}
`;
const SHARED = `byte_order: little
size: 48 byte
fields:
  fuel.target_lambda: { at: 0, type: u8, scale: 0.005, rows: 2, columns: 2, y_at: 20, y_type: u16, y_scale: 0.1 kPa abs }
  ignition.advance: { at: 8, type: u8, scale: 0.5 deg, rows: 2, columns: 2, y_at: 20, y_type: u16, y_scale: 0.1 kPa abs }
`;

test('a place that two fields share is compared for each of them, and comes home into each', () => {
  const installation = stored(MAPS, SHARED);
  const built = imageOf(installation);
  expect(built.faults).toEqual([]);
  const bytes = built.bytes.slice();
  new DataView(bytes.buffer).setUint16(22, 1755, true);
  const { cells } = compareImage(built, memoryOf(bytes, built.window));
  expect(cells.map(({ stored, raw }) => [labelOf(stored), raw])).toEqual([
    ['the y axis of `fuel.target_lambda`', 1755],
    ['the y axis of `ignition.advance`', 1755],
  ]);
  const { edits, faults } = homecoming(built, cells);
  expect(faults).toEqual([]);
  expect(edits.map(({ text }) => text)).toEqual(['175.5', '1755']);
  expect(imageOf(edited(installation, edits)).bytes).toEqual(bytes);
});
