import { assert as check, integer, property } from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readController } from '../../shared/configuration/installation.ts';
import {
  decimalText,
  exactNumber,
  exactOf,
  nearestDouble,
  plus,
  times,
} from '../../shared/quantity/exact.ts';
import { exactFromUnit, splitUnit } from '../../shared/quantity/index.ts';
import { readSource } from '../../shared/source/source-file.ts';
import { codingOf, rangeOf, scaleOfWrongUnit, store, valueOfRaw } from '../../shared/storage/coding.ts';
import { type FieldPart, type PartName, partsOf } from '../../shared/storage/layout.ts';
import { numberType } from '../../shared/storage/number-type.ts';

/** A part of a field, given as written in a controller file. */
function part(written: string, name: PartName = 'values'): FieldPart {
  const text = `storage:\n  fields:\n    boost.target: { at: 0, ${written} }\n`;
  const { configuration } = readController(readSource('/case.controller.yaml', text));
  return partsOf(configuration.storage!.fields!['boost.target']!).find((one) => one.name === name)!;
}

/** The count for a number in a unit and the stored value, both canonical. */
const stored = (one: FieldPart, number: number, unit: string) =>
  store(codingOf(one, unit)!, exactFromUnit(exactOf(number), splitUnit(unit)?.unit));

test('value = offset + count · scale, whatever the units', () => {
  expect(stored(part('type: u16, scale: 0.1 kPa, offset: 0 kPa abs'), 1.4, 'bar abs')).toMatchObject({
    raw: 1400,
    isExact: true,
  });
  expect(stored(part('type: u8, scale: 1 K, offset: -40 °C'), 85, '°C')).toMatchObject({ raw: 125 });
  expect(stored(part('type: u8, scale: 0.5 %'), 0.85, '')).toMatchObject({ raw: 170, isExact: true });
});

test('without an offset a count of zero is the zero of the scale that is written', () => {
  expect(stored(part('type: i8, scale: 1 °C'), -20, '°C')).toMatchObject({ raw: -20, isExact: true });
  expect(stored(part('type: u16, scale: 1 K'), -20, '°C')).toMatchObject({ raw: 253, isExact: false });
});

test('without a scale values are canonical numbers, and breakpoints numbers of their own unit', () => {
  expect(stored(part('type: f32'), 3, 'bar').raw).toBe(300_000);
  expect(stored(part('type: u16, y_at: 64', 'y'), 140, 'kPa abs').raw).toBe(140);
  expect(stored(part('type: i16, x_at: 64', 'x'), -20, '°C')).toMatchObject({ raw: -20, isExact: true });
});

test('a count of 0.1 % keeps 68.73 % as 68.7 %', () => {
  const kept = stored(part('type: u16, scale: 0.1 %'), 68.73, '%');
  expect(kept).toMatchObject({ raw: 687, isExact: false, overflows: false });
  expect(nearestDouble(kept.kept)).toBe(0.687);
});

test('half a count beyond the end is still rounded, more is an overflow', () => {
  const u8 = part('type: u8, scale: 0.1 ms');
  expect(rangeOf(codingOf(u8, 'ms')!)[1]).toBeCloseTo(0.0255, 12);
  expect(stored(u8, 25.54, 'ms')).toMatchObject({ raw: 255, overflows: false });
  expect(stored(u8, 25.6, 'ms')).toMatchObject({ raw: 255, overflows: true });
  expect(stored(u8, -0.1, 'ms')).toMatchObject({ raw: 0, overflows: true });
});

describe.each(['u8', 'i8', 's8', 'u16', 'i16', 's16', 'u32', 'i32', 's32'] as const)(
  'counts of %s',
  (name) => {
    const { lowest, highest } = numberType(name);
    test.each([
      ['1', '0'],
      ['1', '3'],
      ['-0.1', '1000000000'],
      ['0.001', '-40'],
    ])('of %s from %s stop half a count beyond the ends', (scale, offset) => {
      const coding = codingOf(part(`type: ${name}, scale: ${scale}, offset: ${offset}`), '')!;
      const kept = (count: string) =>
        store(coding, plus(exactNumber(offset)!, times(exactNumber(scale)!, exactNumber(count)!)));
      for (const [end, away] of [
        [highest, 1],
        [lowest, -1],
      ] as const) {
        const beyond = (share: string) => plus(exactOf(end), times(exactOf(away), exactNumber(share)!));
        const at = (share: string) => kept(decimalText(beyond(share), 4));
        expect(at('0')).toMatchObject({ raw: end, isExact: true, overflows: false });
        expect(at('0.4')).toMatchObject({ raw: end, isExact: false, overflows: false });
        expect(at('-0.01')).toMatchObject({ raw: end, isExact: false, overflows: false });
        for (const share of ['0.5', '1', '20'])
          expect(at(share)).toMatchObject({ raw: end, isExact: false, overflows: true });
      }
    });
  },
);

test('a falling scale has its least value at the greatest count', () => {
  const falling = part('type: u8, scale: -1 deg, offset: 60 deg');
  expect(rangeOf(codingOf(falling, 'deg')!)).toEqual([-195, 60]);
  expect(stored(falling, 20, 'deg').raw).toBe(40);
});

test('every count of every coding comes back exactly', () => {
  const codings = [
    codingOf(part('type: i16, scale: 0.1 kPa gauge'), 'kPa gauge')!,
    codingOf(part('type: i16, scale: 0.001, offset: 1'), '')!,
    codingOf(part('type: i16, scale: 0.1 °F'), '°C')!,
    codingOf(part('type: i16, scale: -0.0078125 V, offset: 100 V'), 'V')!,
  ];
  check(
    property(integer({ min: -32768, max: 32767 }), (raw) => {
      for (const coding of codings) {
        const value = valueOfRaw(coding, raw);
        expect(store(coding, value)).toEqual({ raw, kept: value, isExact: true, overflows: false });
      }
    }),
  );
});

test('another quantity or reference has no count, and neither has a scale of zero', () => {
  const absolute = part('type: u16, scale: 0.1 kPa, offset: 0 kPa abs');
  expect(scaleOfWrongUnit(absolute, 'kPa abs')).toBeUndefined();
  expect(scaleOfWrongUnit(absolute, 'kPa gauge')).toBe(absolute.offset);
  expect(scaleOfWrongUnit(absolute, 'ms')).toBe(absolute.scale);
  expect(codingOf(absolute, 'kPa gauge')).toBeUndefined();
  expect(codingOf(part('type: u16, scale: 0 kPa'), 'kPa abs')).toBeUndefined();
});
