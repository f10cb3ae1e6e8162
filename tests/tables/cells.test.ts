import { describe, expect, test } from 'vitest';
import { type CellOperation, changeCells } from '../../shared/tables/cells.ts';
import { changed, drawn, mapText, rowsOf } from './drawn.ts';

const rowsAfter = (rows: string, operation: CellOperation): string[] => {
  const before = drawn(mapText(rows));
  return rowsOf(changed(before, changeCells(before.block, operation)));
};

const outcome = (rows: string, operation: CellOperation) =>
  changeCells(drawn(mapText(rows)).block, operation);

describe('a selection of cells', () => {
  test('is the rectangle that its two ends span', () => {
    const { block } = drawn(mapText('[50, $[51, 52]\n[60, 61, 62]\n[70, 7]$1, 72]'));
    expect(block.area).toEqual({ top: 0, bottom: 2, left: 1, right: 1 });
  });

  test('is the cell at the cursor', () => {
    const { block } = drawn(mapText('[50, 51, 52]\n[60, 61, $[]$62]\n[70, 71, 72]'));
    expect(block.area).toEqual({ top: 1, bottom: 1, left: 2, right: 2 });
  });

  test('may be whole lines', () => {
    const { block } = drawn(mapText('[50, 51, 52] $[\n[60, 61, 62]\n]$ [70, 71, 72]'));
    expect(block.area).toEqual({ top: 1, bottom: 1, left: 0, right: 2 });
  });
});

describe('setting', () => {
  test('writes with the decimals of the table and leaves the columns aligned', () => {
    expect(
      rowsAfter('[ 9.0, 51.0, 52.0]\n[60.0, $[]$61.0, 62.0]\n[70.0, 71.0, 72.0]', { kind: 'set', text: '8' }),
    ).toEqual(['[ 9.0, 51.0, 52.0]', '[60.0,  8.0, 62.0]', '[70.0, 71.0, 72.0]']);
  });

  test('widens a column in every row where the new number needs it', () => {
    expect(rowsAfter('[ 9, 51, 52]\n[60, $[]$61, 62]\n[70, 71, 72]', { kind: 'set', text: '101.5' })).toEqual(
      ['[ 9,    51, 52]', '[60, 101.5, 62]', '[70,    71, 72]'],
    );
  });

  test('leaves ragged rows and comments as they are', () => {
    expect(
      rowsAfter('[9, 51, 52] # light\n[60, $[]$61,  62]\n[70, 71, 72]', { kind: 'set', text: '101' }),
    ).toEqual(['[9, 51, 52] # light', '[60, 101,  62]', '[70, 71, 72]']);
  });

  test('takes a number with a unit, and refuses what does not fit', () => {
    const rows = '[50, 51, 52]\n[60, $[]$61, 62]\n[70, 71, 72]';
    expect(rowsAfter(rows, { kind: 'set', text: '75 %' })[1]).toBe('[60, 75, 62]');
    expect(outcome(rows, { kind: 'set', text: '75 mm' })).toEqual({
      refusal: 'Enter a number in %, or a number with its unit.',
    });
  });
});

describe('scaling and adding', () => {
  const rows = '[50.0, 51.0, 52.0]\n[60.0, $[61.0, 62.0]\n[70.0, 71.0, 72.0]$]';

  test('say the largest change before they are made', () => {
    expect(outcome(rows, { kind: 'scale', text: '1.1' })).toMatchObject({
      title: 'Scale 4 cells by 1.1',
      summary: 'largest change +7.2 points at 4000 rpm, 100 kPa abs (72 → 79.2)',
    });
    expect(outcome(rows, { kind: 'add', text: '-1.25' })).toMatchObject({
      title: 'Lower 4 cells by 1.25 points',
      summary: 'largest change −1.25 points at 2000 rpm, 80 kPa abs (61 → 59.75)',
    });
  });

  test('say that they round', () => {
    const whole = '[50, 51, 52]\n[60, $[61]$, 62]\n[70, 71, 72]';
    expect(outcome(whole, { kind: 'scale', text: '+1 %' })).toMatchObject({
      summary: 'largest change +1 points at 2000 rpm, 80 kPa abs (61 → 62), rounded to the nearest 1',
    });
  });

  test('take percent only with its sign, which tells a change from a factor', () => {
    expect(rowsAfter(rows, { kind: 'scale', text: '+10 %' })[1]).toBe('[60.0, 67.1, 68.2]');
    expect(outcome(rows, { kind: 'scale', text: '10 %' })).toEqual({
      refusal: 'Enter a factor, such as 1.05, or a signed percentage, such as +5 %.',
    });
  });

  test('never write what is no number', () => {
    expect(outcome('[1, $[1e300]$, 1]\n[1, 1, 1]\n[1, 1, 1]', { kind: 'scale', text: '1e300' })).toEqual({
      refusal: 'The new value of a cell would be too large.',
    });
  });

  test('keep the spelling of a cell that keeps its value', () => {
    const zero = '[5.0, 1, 2]\n[$[0, 2.5e0]$, 3]\n[1, 2, 3]';
    expect(rowsAfter(zero, { kind: 'scale', text: '2' })).toEqual(['[5.0, 1, 2]', '[0, 5, 3]', '[1, 2, 3]']);
  });
});

test('filling between the corners goes by the distance of the breakpoints', () => {
  expect(rowsAfter('[$[10, 0, 40]\n[0, 0, 0]\n[40, 0, 70]$]', { kind: 'fill' })).toEqual([
    '[10, 20, 40]',
    '[30, 40, 60]',
    '[40, 50, 70]',
  ]);
});

test('smoothing goes half the way to what the neighbours span', () => {
  expect(rowsAfter('[10, 20, 40]\n[30, $[60]$, 60]\n[40, 50, 70]', { kind: 'smooth' })[1]).toBe(
    '[30, 50, 60]',
  );
});

describe('a table that cannot be rewritten', () => {
  test('is not whole', () => {
    expect(outcome('[50, 51]\n[60, $[]$61, 62]\n[70, 71, 72]', { kind: 'smooth' })).toEqual({
      refusal: 'The table is incomplete: its rows do not match its breakpoints.',
    });
  });

  test('has a row that stands elsewhere', () => {
    expect(outcome('&light [50, 51, 52]\n[60, $[]$61, 62]\n*light', { kind: 'smooth' })).toEqual({
      refusal: 'The table is a YAML alias. Edit it at its anchor.',
    });
  });
});
