import { assert as check, double, property } from 'fast-check';
import { expect, test } from 'vitest';
import { nearestOf, numberType } from '../../shared/storage/number-type.ts';

/** What the typed arrays of JavaScript store. */
const arrays = {
  u8: Uint8Array,
  u16: Uint16Array,
  u32: Uint32Array,
  i8: Int8Array,
  i16: Int16Array,
  i32: Int32Array,
  s8: Int8Array,
  s16: Int16Array,
  s32: Int32Array,
  f32: Float32Array,
  f64: Float64Array,
} as const;
const names = Object.keys(arrays) as (keyof typeof arrays)[];

test.each(names)('the ends of %s survive in memory, and the next step beyond them does not', (name) => {
  const { lowest, highest, bytes, kind } = numberType(name);
  const memory = (number: number) => new arrays[name]([number])[0];
  expect(bytes).toBe(arrays[name].BYTES_PER_ELEMENT);
  expect(memory(lowest)).toBe(lowest);
  expect(memory(highest)).toBe(highest);
  const beyond = kind === 'float' ? highest * 2 : highest + 1;
  expect(memory(beyond)).not.toBe(beyond === Number.POSITIVE_INFINITY ? highest : beyond);
});

test('the greatest number of 32 bits (source: IEEE 754-2019, binary32: 3.40282347e38)', () => {
  expect(numberType('f32').highest).toBeCloseTo(3.40282347e38, -30);
});

test.each(names)('what %s keeps of any number is a number that it holds', (name) => {
  const type = numberType(name);
  check(
    property(double({ noNaN: true }), (number) => {
      const kept = nearestOf(type, number);
      expect(new arrays[name]([kept])[0]).toBe(kept);
      expect(nearestOf(type, kept)).toBe(kept);
    }),
  );
});

test('halves go away from zero, and what is too large stops at the end', () => {
  const i8 = numberType('i8');
  expect([2.5, -2.5, 2.49, -0.2, 400, -400].map((number) => nearestOf(i8, number))).toEqual([
    3, -3, 2, 0, 127, -128,
  ]);
});
