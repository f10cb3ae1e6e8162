import { describe, expect, test } from 'vitest';
import { tableViewAt } from '../../server/features/table-view.ts';
import { analysed } from '../features/marked.ts';
import { mapText } from './drawn.ts';

const MAP = mapText('[50, 51, 52]\n[60, 61, 62]\n[70, 71, 72]');
const PATH = 'fuel.volumetric_efficiency';

const against = (text: string, now = MAP) => {
  const analysis = analysed(now);
  const position = analysis.file.lines.position(now.indexOf('values:'));
  return tableViewAt(analysis, { textDocument: { uri: '' }, position, path: PATH, against: { text } });
};

describe('the difference to an earlier text', () => {
  test('is signed, and of percentages in points', () => {
    const { difference } = against(MAP.replace('61', '58.5').replace('72', '73'));
    expect(difference!.numbers).toEqual([
      [0, 0, 0],
      [0, 2.5, 0],
      [0, 0, -1],
    ]);
    expect(difference).toMatchObject({ label: 'Volumetric efficiency difference', unit: 'points' });
    expect(difference!.texts[1]).toEqual(['0', '+2.5', '0']);
    expect(difference!.texts[2]![2]).toBe('−1.0');
  });

  test("is taken at this table's breakpoints, whatever breakpoints and unit the other has", () => {
    const shares = mapText('[0.50, 0.52]\n[0.70, 0.72]', '1000, 3000', '0.4, 1.0');
    const other = shares.replace('kPa abs', 'bar abs').replace('    unit: "%"\n', '');
    const { difference } = against(other);
    // At 2000 rpm and 80 kPa the other table gives 51 + 20 · 40 / 60 = 64.33 %; at 4000 rpm, its edge value.
    expect(difference!.numbers[1]![1]).toBeCloseTo(61 - 64.3333, 3);
    expect(difference!.numbers[0]).toEqual([0, 0, 0]);
  });

  test('is none where the other says something else, or is not whole', () => {
    expect(against(MAP.replace('kPa abs', 'kPa gauge')).difference).toBeNull();
    expect(against(MAP.replace('[50, ', '[')).difference).toBeNull();
    expect(against('fuel: {}\n').difference).toBeNull();
  });
});

test('tables of one kind over the same quantities can be compared', () => {
  const two = `${MAP}map_sets:\n  sets:\n    eco:\n      apply:\n${MAP.replace(/^/gm, '        ').trimEnd()}\n`;
  const analysis = analysed(two);
  const position = analysis.file.lines.position(two.indexOf('values:'));
  const { tables } = tableViewAt(analysis, { textDocument: { uri: '' }, position });
  expect(tables.map(({ path, isComparable }) => [path, isComparable])).toEqual([
    [PATH, false],
    [`map_sets.sets.eco.apply.${PATH}`, true],
  ]);
});
