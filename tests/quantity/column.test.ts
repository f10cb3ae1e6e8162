import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { columnFormat, columnInUnit, quantityColumn } from '../../shared/quantity/index.ts';

const column = (...numbers: number[]): string[] => numbers.map(columnFormat(numbers));

describe('the numbers of a column', () => {
  test.each([
    ['have the same count of decimals', [30, 24.06, 5, 3.113], ['30.00', '24.06', '5.00', '3.11']],
    ['have no decimals that are zero throughout', [15, 10, 7.5], ['15.0', '10.0', '7.5']],
    ['have none where all are whole', [168, 147, 12], ['168', '147', '12']],
    ['may be negative or zero', [-8.768, 0, 30], ['-8.77', '0.00', '30.00']],
    ['keep two significant digits of the smallest', [49.5, 0.0578], ['49.500', '0.058']],
    ['never lose digits before the point', [11846, 21344, 15115.4], ['11846', '21344', '15115']],
    ['are formatted one by one if they are far apart', [0.00123, 120], ['0.00123', '120']],
    ['may be infinite', [12.34, Number.POSITIVE_INFINITY], ['12.3', 'infinity']],
  ])('%s', (_, numbers, texts) => expect(column(...numbers)).toEqual(texts));

  test('are in the unit that is shown, with or without it', () => {
    const [cold, warm] = [273.15 - 8.768, 303.15];
    expect([cold, warm].map(columnInUnit([cold, warm], '°C'))).toEqual(['-8.77', '30.00']);
    expect([0.46, 0.814].map(quantityColumn([0.46, 0.814], '%'))).toEqual(['46.0 %', '81.4 %']);
    // 273.15 K is 0 °C, whatever rounding leaves.
    expect(quantityColumn([273.15], '°C')(273.15)).toBe('0 °C');
  });

  test('differ from what they show by less than one part in twenty', () => {
    const numbers = fc.array(fc.double({ min: 1e-3, max: 1e6, noNaN: true }), { minLength: 1, maxLength: 8 });
    fc.assert(
      fc.property(numbers, (some) => {
        const format = columnFormat(some);
        for (const one of some) expect(Math.abs(Number(format(one)) / one - 1)).toBeLessThan(0.0501);
      }),
    );
  });
});
