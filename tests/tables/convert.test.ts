import { describe, expect, test } from 'vitest';
import { readingsOf } from '../../shared/analysis.ts';
import { convertAxis, convertCells, convertValue } from '../../shared/tables/convert.ts';
import { analysed } from '../features/marked.ts';
import { applied, changed, drawn, mapText } from './drawn.ts';

const ROWS = '[50.5, 61, 62]\n[60, 61, 62]\n[70, 71, 72]';
const AMBIENT = 100_000;

describe('converting a table', () => {
  test('changes the unit and every cell', () => {
    const before = drawn(mapText(ROWS));
    const to = convertCells(before.analysis.file, before.table, { unit: '' });
    expect(changed(before, to)).toBe(
      mapText('[0.505, 0.610, 0.620]\n[0.600, 0.610, 0.620]\n[0.700, 0.710, 0.720]').replace(
        '    unit: "%"\n',
        '',
      ),
    );
    expect(to).toMatchObject({ title: 'Convert volumetric efficiency to plain numbers', summary: 'exact' });
  });

  test('writes so many digits that nothing of the old ones is lost, and says what is rounded', () => {
    const before = drawn(mapText(ROWS));
    const to = convertAxis(before.analysis.file, before.table, 'y', 'pressure', { unit: 'psi abs' });
    // 1 psi = 6.894757 kPa (NIST SP 811)
    expect(changed(before, to)).toBe(
      mapText(ROWS, undefined, '5.802, 11.603, 14.504').replace('kPa abs', 'psi abs'),
    );
    expect(to).toMatchObject({ summary: 'rounded by at most 0.0005 psi' });
  });

  test('changes the reference of a pressure at a stated ambient only', () => {
    const before = drawn(mapText(ROWS));
    const { file } = before.analysis;
    const gauge = { unit: 'kPa gauge', ambient: AMBIENT };
    const to = convertAxis(file, before.table, 'y', 'pressure', gauge);
    expect(changed(before, to)).toBe(mapText(ROWS, undefined, '-60, -20, 0').replace('kPa abs', 'kPa gauge'));
    expect(to).toMatchObject({ summary: 'exact; valid only at this ambient pressure' });
    expect(convertAxis(file, before.table, 'y', 'pressure', { unit: 'kPa gauge' })).toEqual({
      refusal: 'A conversion between gauge and absolute pressure needs an ambient pressure.',
    });
  });

  test('refuses a unit of another kind', () => {
    const { analysis, table } = drawn(mapText(ROWS));
    expect(convertCells(analysis.file, table, { unit: 'mm' })).toEqual({
      refusal: 'mm cannot be used for this quantity.',
    });
  });
});

describe('converting a value', () => {
  const textAfter = (line: string, unit: string, ambient?: number): string => {
    const analysis = analysed(`${line}\n`);
    const reading = readingsOf(analysis).find(
      ({ value }) => value.type === 'quantity' || value.type === 'range',
    );
    if (reading?.value.type !== 'quantity' && reading?.value.type !== 'range') throw new Error('no value');
    const to = convertValue(reading.value, ambient === undefined ? { unit } : { unit, ambient });
    if ('refusal' in to) throw new Error(to.refusal);
    return applied(analysis, to.edits).trimEnd();
  };

  test.each([
    ['engine: { bore: 76 mm }', 'in', 'engine: { bore: 2.992 in }'],
    ['engine: { bore: "76 mm" } # as drawn', 'cm', 'engine: { bore: "7.6 cm" } # as drawn'],
    ['ignition: { advance_range: -10..40 deg }', 'rad', 'ignition: { advance_range: -0.1745..0.6981 rad }'],
    ['fuel: { rail: { pressure: 3.0 bar } }', 'kPa', 'fuel: { rail: { pressure: 300 kPa } }'],
  ])('%s in %s', (line, unit, expected) => {
    expect(textAfter(line, unit)).toBe(expected);
  });

  test('between gauge and absolute pressure', () => {
    expect(textAfter('boost: { overboost_cut: 0.75 bar gauge }', 'kPa abs', AMBIENT)).toBe(
      'boost: { overboost_cut: 175 kPa abs }',
    );
  });
});
