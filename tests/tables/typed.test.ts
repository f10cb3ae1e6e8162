import { expect, test } from 'vitest';
import { changeCells } from '../../shared/tables/cells.ts';
import { workTyped } from '../../shared/tables/typed.ts';
import { drawn, mapText } from './drawn.ts';

const ROWS = '[50, 51, 52]\n[60, $[]$61, 62]\n[70, 71, 72]';

test.each([
  ['82.5', 'Set 1 cell to 82.5'],
  ['-3', 'Set 1 cell to -3'],
  ['75 %', 'Set 1 cell to 75 %'],
  ['+2', 'Raise 1 cell by 2 points'],
  ['+-2', 'Lower 1 cell by 2 points'],
  ['*1.05', 'Scale 1 cell by 1.05'],
  ['× 2', 'Scale 1 cell by 2'],
  ['+5 %', 'Scale 1 cell by +5 %'],
  ['/2', 'Divide 1 cell by 2'],
])('%s typed on a cell: %s', (text, title) => {
  const { block } = drawn(mapText(ROWS));
  const work = workTyped(text);
  if (work.kind !== 'set' && work.kind !== 'add' && work.kind !== 'scale') throw new Error(work.kind);
  expect(changeCells(block, work)).toMatchObject({ title });
});

test.each(['/0', '*', '+x', '82.5.1'])('%s is refused with what can be entered', (text) => {
  const { block } = drawn(mapText(ROWS));
  const work = workTyped(text);
  if (work.kind !== 'set' && work.kind !== 'add' && work.kind !== 'scale') throw new Error(work.kind);
  expect(changeCells(block, work)).toMatchObject({ refusal: expect.stringMatching(/^Enter a /) });
});
