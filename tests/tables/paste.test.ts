import { describe, expect, test } from 'vitest';
import { changeCells } from '../../shared/tables/cells.ts';
import { changed, drawn, mapText, rowsOf } from './drawn.ts';

const ROWS = '[50.0, 51.0, 52.0]\n[60.0, $[]$61.0, 62.0]\n[70.0, 71.0, 72.0]';
const SELECTED = '[50.0, 51.0, 52.0]\n[60.0, $[61.0, 62.0]\n[70.0, 71.0, 72.0]$]';

const pasted = (rows: string, text: string) =>
  changeCells(drawn(mapText(rows)).block, { kind: 'paste', text });

const rowsAfter = (rows: string, text: string): string[] => {
  const before = drawn(mapText(rows));
  return rowsOf(changed(before, changeCells(before.block, { kind: 'paste', text })));
};

describe('cells copied from a spreadsheet', () => {
  test('replace the selected ones, with the decimals and the columns of the table', () => {
    expect(rowsAfter(SELECTED, '1\t2\r\n3\t4.5\r\n')).toEqual([
      '[50.0, 51.0, 52.0]',
      '[60.0,  1.0,  2.0]',
      '[70.0,  3.0,  4.5]',
    ]);
  });

  test('begin at a single selected cell', () => {
    expect(rowsAfter(ROWS, '1\n2')).toEqual([
      '[50.0, 51.0, 52.0]',
      '[60.0,  1.0, 62.0]',
      '[70.0,  2.0, 72.0]',
    ]);
  });

  test('keep the decimals that they have', () => {
    expect(rowsAfter(ROWS, '61.25')[1]).toBe('[60.0, 61.25, 62.0]');
  });

  test('say what they do', () => {
    expect(pasted(SELECTED, '1\t2\n3\t4')).toMatchObject({
      title: 'Paste 4 cells',
      summary: expect.stringMatching(/^largest change −68 points at 2000 rpm, 100 kPa abs \(71 → 3\)$/),
    });
  });

  test.each([
    [
      'of another size',
      '1\t2\t3',
      '1 row × 3 columns copied, 2 rows × 2 columns selected. Select one cell, or as many as were copied.',
    ],
    ['in rows of unlike length', '1\t2\n3', 'The copied rows differ in length.'],
    ['with an empty cell', '1\t\n3\t4', 'A copied cell is empty.'],
    [
      'with a decimal comma',
      '1,5\t2\n3\t4',
      'The copied cell "1,5" is not a plain number, such as 82.5 with a decimal point and no unit.',
    ],
    [
      'with words',
      'rpm\t2\n3\t4',
      'The copied cell "rpm" is not a plain number, such as 82.5 with a decimal point and no unit.',
    ],
    ['too large for a number', '1e999\t2\n3\t4', 'The new value of a cell would be too large.'],
  ])('are refused %s', (_, text, refusal) => {
    expect(pasted(SELECTED, text)).toEqual({ refusal });
  });

  test('are refused where they would leave the table', () => {
    expect(pasted(ROWS, '1\t2\t3')).toEqual({
      refusal: '1 row × 3 columns copied; from the selected cell the table has 2 rows × 2 columns.',
    });
  });
});
