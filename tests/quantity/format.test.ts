import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  alsoIn,
  formatNumber,
  formatQuantity,
  fromUnit,
  isFault,
  type Kind,
  parseQuantity,
  printQuantity,
  toUnit,
} from '../../shared/quantity/index.ts';

describe('a number for people', () => {
  test.each([
    [150, '150'],
    [1.32, '1.32'],
    [0.1 + 0.2, '0.3'],
    [21.7556, '21.8'],
    [9.99996, '10'],
    [12345.6, '12346'],
    [1000, '1000'],
    [9999999, '9999999'],
    [1e7, '1e7'],
    [1.23456e-5, '1.23e-5'],
    [1e-4, '0.0001'],
    [-0.00012346, '-0.000123'],
    [-5.6e-14, '-5.6e-14'],
    [0, '0'],
    [-0, '0'],
    [Number.NaN, 'not a number'],
    [Number.POSITIVE_INFINITY, 'infinity'],
    [Number.NEGATIVE_INFINITY, 'minus infinity'],
  ])('%d is %s', (number, text) => {
    expect(formatNumber(number)).toBe(text);
  });

  test('has as many digits as asked for', () => {
    expect(formatNumber(Math.PI, 2)).toBe('3.1');
    expect(formatNumber(Math.PI, 7)).toBe('3.141593');
  });

  test('keeps its sign and is as near as its digits allow', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, min: -1e300, max: 1e300 }), (number) => {
        const shown = Number(formatNumber(number));
        expect(Math.sign(shown)).toBe(Math.sign(number) + 0);
        expect(Math.abs(shown - number)).toBeLessThanOrEqual(Math.abs(number) * 5.001e-3);
      }),
    );
  });
});

describe('a quantity for people', () => {
  test.each([
    [150e3, 'kPa abs', '150 kPa abs'],
    [50e3, 'bar gauge', '0.5 bar gauge'],
    [0.85, '%', '85 %'],
    [0.00132, 'ms', '1.32 ms'],
    [358.15, '°C', '85 °C'],
    [273.15 + 1e-13, '°C', '0 °C'],
    [14.3, '', '14.3'],
    [287.05, 'J/(kg K)', '287 J/(kg K)'],
  ])('%d in %j', (canonical, unit, text) => {
    expect(formatQuantity(canonical, unit)).toBe(text);
  });

  test('conversion takes a unit by its spelling and refuses what is none', () => {
    expect(fromUnit(150, 'kPa abs')).toBe(150e3);
    expect(toUnit(0.076, 'mm')).toBe(76);
    expect(() => toUnit(1, 'furlong')).toThrow(RangeError);
  });

  test('only a finite number can be written into a file', () => {
    expect(printQuantity(0.1 + 0.2, 'mm')).toBe('0.30000000000000004 mm');
    expect(printQuantity(-0, '')).toBe('-0');
    expect(() => printQuantity(Number.NaN, 'mm')).toThrow(RangeError);
  });
});

describe('the same value in other units', () => {
  test.each<[string, string[], Kind?]>([
    ['150 kPa abs', ['1.5 bar abs', '21.76 psi abs', '44.29 inHg abs']],
    ['3 bar', ['300 kPa', '43.51 psi', '88.59 inHg']],
    ['76 mm', ['0.076 m', '2.992 in', '0.2493 ft']],
    ['85 °C', ['185 °F', '358.1 K']],
    ['0 °C', ['32 °F', '273.1 K']],
    ['300 K', [], 'temperature difference'],
    ['300 K', []],
    ['300 K', ['26.85 °C', '80.33 °F'], 'temperature'],
    ['85 %', ['0.85']],
    ['0.85', ['85 %'], 'ratio'],
    ['0.85', [], 'number'],
    ['0 bar gauge', []],
    ['5500 rpm', []],
    ['165 Nm', ['121.7 lbf.ft']],
  ])('%s', (text, others, kind) => {
    const quantity = parseQuantity(text);
    if (isFault(quantity)) throw new Error(quantity.fault);
    expect(alsoIn(quantity, kind)).toEqual(others);
  });
});
