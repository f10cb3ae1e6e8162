import { boolean, assert as check, double, property } from 'fast-check';
import { expect, test } from 'vitest';
import { exactDouble, exactOf } from '../../shared/quantity/exact.ts';
import { nearestOf, numberType, readRaw, writeRaw } from '../../shared/storage/number-type.ts';

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
    property(double({ noNaN: true, noDefaultInfinity: true }), (number) => {
      const { raw } = nearestOf(type, exactDouble(number));
      expect(new arrays[name]([raw])[0]).toBe(raw);
      expect(nearestOf(type, exactDouble(raw))).toEqual({ raw, overflows: false });
    }),
  );
});

test('halves go away from zero, and what is too large stops at the end', () => {
  const i8 = numberType('i8');
  expect([2.5, -2.5, 2.49, -0.2, 400, -400].map((number) => nearestOf(i8, exactOf(number)).raw)).toEqual([
    3, -3, 2, 0, 127, -128,
  ]);
});

test('a floating-point number is rounded once, as the typed arrays do for a double', () => {
  const f32 = numberType('f32');
  check(
    property(double({ noNaN: true, noDefaultInfinity: true, min: -3e38, max: 3e38 }), (number) => {
      expect(nearestOf(f32, exactDouble(number)).raw).toBe(Math.fround(number) + 0);
      expect(nearestOf(numberType('f64'), exactDouble(number)).raw).toBe(number + 0);
    }),
  );
});

test.each(names)('what is written as %s is what typed arrays hold, and is read again', (name) => {
  const type = numberType(name);
  check(
    property(double({ noNaN: true, noDefaultInfinity: true }), boolean(), (number, little) => {
      const { raw } = nearestOf(type, exactDouble(number));
      const view = new DataView(new ArrayBuffer(8));
      writeRaw(type, raw, view, 0, little);
      expect(readRaw(type, view, 0, little)).toBe(raw);
      const own = new Uint8Array(new arrays[name]([raw]).buffer);
      const bytes = new Uint8Array(view.buffer, 0, type.bytes);
      expect([...bytes]).toEqual(little ? [...own] : [...own].reverse());
    }),
  );
});
