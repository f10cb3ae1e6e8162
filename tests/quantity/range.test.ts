import { describe, expect, test } from 'vitest';
import { isFault, type Kind, parseRange } from '../../shared/quantity/index.ts';

describe('a range', () => {
  test.each<[Kind, string, number, number]>([
    ['voltage', '0..5 V', 0, 5],
    ['voltage', '0.2..4.8 V', 0.2, 4.8],
    ['voltage', '0 .. 5V', 0, 5],
    ['angle', '-10..40 deg', -10, 40],
    ['rotational speed', '1200..5000 rpm', 1200, 5000],
    ['absolute pressure', '0..300 kPa abs', 0, 300e3],
    ['temperature', '-40..120 °C', 233.15, 393.15],
    ['number', '0.65..1.30', 0.65, 1.3],
    ['number', '0x0000..0x7FFB', 0, 0x7ffb],
  ])('%s: %s', (kind, text, low, high) => {
    const read = parseRange(kind, text);
    if (isFault(read)) throw new Error(read.fault);
    expect(read.low.canonical).toBeCloseTo(low, 10);
    expect(read.high.canonical).toBeCloseTo(high, 10);
  });

  test('says where the numbers and the one unit stand', () => {
    expect(parseRange('voltage', '0.2..4.8 V')).toMatchObject({
      low: { numberRange: [0, 3], unitRange: [9, 10] },
      high: { numberRange: [5, 8], unitRange: [9, 10] },
    });
  });

  test.each<[Kind, string, string, string]>([
    ['voltage', '5 V', 'not-a-range', '5 V'],
    ['voltage', '0...5 V', 'not-a-range', '...'],
    ['voltage', '..5 V', 'not-a-number', ''],
    ['voltage', '0..', 'not-a-number', ''],
    ['voltage', '5..0 V', 'range-reversed', '5..0'],
    ['voltage', '0 V..5 V', 'unit-unexpected', 'V'],
    ['voltage', '0..5', 'unit-missing', '5'],
    ['voltage', '0..5 bar', 'wrong-kind', 'bar'],
    ['absolute pressure', '0..300 kPa', 'reference-missing', 'kPa'],
    ['rotational speed', '1,200..5000 rpm', 'not-a-number', '1,200'],
    ['rotational speed', '1200..5000 rmp', 'unit-unknown', 'rmp'],
  ])('%s: %s is a fault', (kind, text, fault, place) => {
    const read = parseRange(kind, text);
    if (!isFault(read)) throw new Error('reads as a range');
    expect([read.fault, text.slice(...read.range)]).toEqual([fault, place]);
  });

  test('a fault in the high end keeps its quantity, with its place in the whole text', () => {
    expect(parseRange('voltage', '0..5')).toMatchObject({ quantity: { number: 5, numberRange: [3, 4] } });
  });
});
