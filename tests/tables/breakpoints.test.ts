import { describe, expect, test } from 'vitest';
import { type AxisOperation, changeBreakpoints } from '../../shared/tables/breakpoints.ts';
import { changed, drawn, mapText } from './drawn.ts';

const ROWS = '[10, 20, 40]\n[30, 40, 60]\n[40, 50, 90]';

const textAfter = (text: string, on: 'x' | 'y', operation: AxisOperation): string => {
  const before = drawn(text);
  return changed(before, changeBreakpoints(before.table, on, operation));
};

const outcome = (on: 'x' | 'y', operation: AxisOperation, text = mapText(ROWS)) =>
  changeBreakpoints(drawn(text).table, on, operation);

describe('inserting a breakpoint', () => {
  test('adds a column between its neighbours, and nothing else', () => {
    expect(textAfter(mapText(ROWS), 'x', { kind: 'insert', text: '3000' })).toBe(
      mapText('[10, 20, 30, 40]\n[30, 40, 50, 60]\n[40, 50, 70, 90]', '1000, 2000, 3000, 4000'),
    );
  });

  test('adds a row between its neighbours', () => {
    expect(textAfter(mapText(ROWS), 'y', { kind: 'insert', text: '60' })).toBe(
      mapText('[10, 20, 40]\n[20, 30, 50]\n[30, 40, 60]\n[40, 50, 90]', undefined, '40, 60, 80, 100'),
    );
  });

  test('outside the axis holds the edge', () => {
    expect(textAfter(mapText(ROWS), 'x', { kind: 'insert', text: '500' })).toBe(
      mapText('[10, 10, 20, 40]\n[30, 30, 40, 60]\n[40, 40, 50, 90]', '500, 1000, 2000, 4000'),
    );
    expect(textAfter(mapText(ROWS), 'y', { kind: 'insert', text: '20' })).toBe(
      mapText(`[10, 20, 40]\n${ROWS}`, undefined, '20, 40, 80, 100'),
    );
  });

  test('refuses one that is there, and what is no number', () => {
    expect(outcome('x', { kind: 'insert', text: '2000.0' })).toEqual({
      refusal: 'A breakpoint at 2000.0 rpm already exists.',
    });
    expect(outcome('x', { kind: 'insert', text: 'fast' })).toEqual({
      refusal: "'fast' is not a number. Enter breakpoints as numbers in rpm.",
    });
  });
});

describe('deleting a breakpoint', () => {
  test('says how far the surface moves, and where', () => {
    expect(outcome('x', { kind: 'delete', index: 1 })).toMatchObject({
      title: 'Delete engine speed 2000 rpm and its column',
      summary: 'largest change +6.67 points at 2000 rpm, 100 kPa abs (50 → 56.6667)',
    });
  });

  test.each([
    ['x', 0, '[20, 40]\n[40, 60]\n[50, 90]', '2000, 4000', undefined],
    ['x', 2, '[10, 20]\n[30, 40]\n[40, 50]', '1000, 2000', undefined],
    ['y', 0, '[30, 40, 60]\n[40, 50, 90]', undefined, '80, 100'],
    ['y', 2, '[10, 20, 40]\n[30, 40, 60]', undefined, '40, 80'],
  ] as const)('takes out %s %i with its cells', (on, index, rows, x, y) => {
    expect(textAfter(mapText(ROWS), on, { kind: 'delete', index })).toBe(mapText(rows, x, y));
  });

  test.each([
    ['[ 800, 2000, 4000]', '[2000, 4000]'],
    ['[ 800, 2000, 4000 ]', '[ 2000, 4000 ]'],
    ['[ 800,  900, 4000]', '[ 900, 4000]'],
  ])('of %s leaves the first of %s in its column', (axis, left) => {
    const text = mapText(ROWS).replace('[1000, 2000, 4000]', axis);
    expect(textAfter(text, 'x', { kind: 'delete', index: 0 })).toContain(`breakpoints: ${left}`);
  });

  test('leaves the comments between others', () => {
    const text = mapText(ROWS).replace(
      '[1000, 2000, 4000]',
      '[1000, # idle\n        2000, # cruise\n        4000]',
    );
    expect(textAfter(text, 'x', { kind: 'delete', index: 1 })).toContain(
      '[1000, # idle\n         # cruise\n        4000]',
    );
  });

  test('leaves an axis two breakpoints', () => {
    const two = mapText('[10, 20]\n[30, 40]\n[40, 50]', '1000, 2000');
    expect(outcome('x', { kind: 'delete', index: 0 }, two)).toEqual({
      refusal: 'An axis needs at least two breakpoints.',
    });
  });
});

describe('resampling', () => {
  test('reads the old surface at the new breakpoints and keeps the columns that stay', () => {
    const text = mapText('[ 9.0, 20, 40.0]\n[30.0, 40, 60.0]\n[40.0, 50, 90.0]');
    expect(textAfter(text, 'x', { kind: 'resample', text: '1000 1500 3000 4000' })).toBe(
      mapText(
        '[ 9.0, 14.5, 30, 40.0]\n[30.0,   35, 50, 60.0]\n[40.0,   45, 70, 90.0]',
        '1000, 1500, 3000, 4000',
      ),
    );
  });

  test('says the largest change anywhere on the surface', () => {
    expect(outcome('y', { kind: 'resample', text: '40, 90, 100' })).toMatchObject({
      summary: 'largest change +8 points at 4000 rpm, 80 kPa abs (60 → 68)',
    });
  });

  test('refuses breakpoints that do not rise', () => {
    expect(outcome('x', { kind: 'resample', text: '1000 3000 2000' })).toEqual({
      refusal: 'Each breakpoint must be larger than the one before it.',
    });
  });
});

test('breakpoints that an anchor shares are left alone', () => {
  const text = mapText(ROWS).replace('breakpoints: [1000', 'breakpoints: &speeds [1000');
  expect(outcome('x', { kind: 'insert', text: '3000' }, text)).toEqual({
    refusal: 'Other tables share these breakpoints through a YAML anchor and would change too.',
  });
});

test('a curve written one number a line gets one line more', () => {
  const text = [
    'fuel:',
    '  injectors:',
    '    dead_time:',
    '      x: { quantity: battery_voltage, unit: V, breakpoints: [8, 12, 16] }',
    '      unit: ms',
    '      values:',
    '        - 2.70 # cold battery',
    '        - 1.32',
    '        - 0.76',
    '',
  ];
  expect(textAfter(text.join('\n'), 'x', { kind: 'insert', text: '10' })).toBe(
    text.toSpliced(3, 1, text[3]!.replace('8, 12', '8, 10, 12')).toSpliced(7, 0, '        - 2.01').join('\n'),
  );
});
