import { describe, expect, test } from 'vitest';
import { copied, moved, only, type Selection, selectionOf } from '../../client/map-panel/view/selection.ts';
import type { TableView } from '../../shared/tables/view.ts';

const texts = Array.from({ length: 12 }, (_, row) =>
  Array.from({ length: 5 }, (_, column) => `${row}.${column}`),
);
const view = { texts } as unknown as TableView;

const press = (from: Selection, keys: string): Selection =>
  keys.split(' ').reduce((at, name) => {
    const parts = name.split('+');
    const key = {
      key: parts.at(-1)!,
      ctrlKey: parts.includes('C'),
      metaKey: false,
      shiftKey: parts.includes('S'),
    };
    return moved(view, at, key) ?? at;
  }, from);

const at = (row: number, column: number) => only({ row, column });

describe('keys in the grid', () => {
  test.each([
    ['ArrowDown ArrowRight', at(4, 3)],
    ['ArrowUp ArrowLeft', at(2, 1)],
    ['Home', at(3, 0)],
    ['End', at(3, 4)],
    ['C+Home', at(0, 0)],
    ['C+End', at(11, 4)],
    ['C+ArrowDown', at(11, 2)],
    ['PageDown', at(11, 2)],
    ['PageUp', at(0, 2)],
    ['S+ArrowDown S+ArrowRight', { from: { row: 3, column: 2 }, to: { row: 4, column: 3 } }],
    ['S+ArrowDown ArrowDown', at(5, 2)],
    ['C+S+End', { from: { row: 3, column: 2 }, to: { row: 11, column: 4 } }],
    ['C+a', { from: { row: 0, column: 0 }, to: { row: 11, column: 4 } }],
    ['a Tab Escape', at(3, 2)],
  ])('%s', (keys, expected) => {
    expect(press(at(3, 2), keys)).toEqual(expected);
  });

  test('never leave the table', () => {
    for (const key of ['ArrowUp', 'ArrowDown', 'ArrowLeft', 'ArrowRight', 'PageUp', 'PageDown']) {
      const { to } = press(at(0, 0), Array(20).fill(key).join(' '));
      expect(texts[to.row]?.[to.column]).toBeDefined();
    }
  });
});

test('the selection of the text ends at its cursor', () => {
  const area = { top: 1, bottom: 3, left: 2, right: 4 };
  expect(selectionOf({ row: 3, column: 2 }, area)).toEqual({
    from: { row: 1, column: 4 },
    to: { row: 3, column: 2 },
  });
  expect(selectionOf({ row: 8, column: 2 }, area)).toEqual(at(8, 2));
  expect(selectionOf({ row: 8, column: 2 }, null)).toEqual(at(8, 2));
});

test('copied cells are separated by tabs, a row a line', () => {
  expect(copied(view, { from: { row: 2, column: 3 }, to: { row: 1, column: 1 } })).toBe(
    '1.1\t1.2\t1.3\n2.1\t2.2\t2.3',
  );
});
