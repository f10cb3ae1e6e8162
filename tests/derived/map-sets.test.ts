import { describe, expect, test } from 'vitest';
import { mapSetChanges } from '../../shared/derived/map-sets.ts';
import { analyseCase } from '../support/fixture.ts';

/** The effects of the map set `climb` on the complete installation if its overrides are `apply`. */
function textsOf(apply: string): string[] {
  const text = `based_on: ./complete.engine.yaml\nmap_sets: { sets: { climb: { when: open, apply: ${apply} } } }\n`;
  const { installation } = analyseCase(new Map([['case.engine.yaml', text]]));
  return mapSetChanges(installation!)
    .filter(({ set }) => set === 'climb')
    .map((change) => change.text);
}

const target = (speeds: string, values: string, unit = 'kPa abs') =>
  `{ boost: { target: { x: { quantity: engine_speed, unit: rpm, breakpoints: ${speeds} }, y: { quantity: throttle_position, unit: "%", breakpoints: [0, 50, 100] }, unit: ${unit}, values: ${values} } } }`;

describe('what a map set changes, in words', () => {
  test('cells, with the least and the most', () => {
    expect(textsOf(target('[2000, 4000, 6000]', '[[70, 70, 70], [95, 100, 105], [110, 152, 110]]'))).toEqual([
      'changes boost.target: 3 of 9 cells, −30…+12 kPa',
    ]);
  });

  test('a table on other breakpoints, compared at its own', () => {
    expect(textsOf(target('[2000, 5000]', '[[70, 70], [95, 105], [110, 145]]'))).toEqual([
      'changes boost.target: 1 of 6 cells, +5 kPa, on different breakpoints',
    ]);
  });

  test('a table that is measured from something else', () => {
    expect(textsOf(target('[2000, 5000]', '[[0, 0], [5, 5], [30, 40]]', 'kPa gauge'))).toEqual([
      'changes boost.target: different table, 6 cells',
    ]);
  });

  test('a single value, before and after', () => {
    expect(textsOf('{ boost: { overboost_cut: 1.5 bar abs } }')).toEqual([
      'changes boost.overboost_cut: 160 kPa abs → 1.5 bar abs',
    ]);
  });

  test('a value that the base does not have', () => {
    expect(
      textsOf('{ protection: { hot: { watches: coolant_temperature, above: { warning: 110 °C } } } }'),
    ).toEqual([
      'adds protection.hot.watches: coolant_temperature',
      'adds protection.hot.above.warning: 110 °C',
    ]);
  });

  test('a value that is the same in another unit', () => {
    expect(textsOf('{ boost: { overboost_cut: 1.6 bar abs } }')).toEqual([
      'leaves boost.overboost_cut unchanged',
    ]);
  });
});
