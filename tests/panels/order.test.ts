import { describe, expect, test } from 'vitest';
import {
  ariaSort,
  matches,
  nextOrder,
  type Order,
  sorted,
} from '../../client/installation-panel/view/order.ts';

const rows = [
  { name: 'climb', duty: 0.55 },
  { name: 'take off', duty: 0.57 },
  { name: 'idle', duty: null },
  { name: 'point 10', duty: 0.3 },
  { name: 'point 9', duty: 0.55 },
];

const namesBy = (order: Order | null): string[] =>
  sorted(rows, order, (row, key) => row[key as keyof (typeof rows)[number]]).map(({ name }) => name);

describe('a column of a table is sorted', () => {
  test('upwards, downwards, and in the order of the file again', () => {
    let order = nextOrder(null, 'duty');
    expect(ariaSort(order, 'duty')).toBe('ascending');
    order = nextOrder(order, 'duty');
    expect(ariaSort(order, 'duty')).toBe('descending');
    expect(ariaSort(order, 'name')).toBe('none');
    expect(nextOrder(order, 'duty')).toBeNull();
    expect(nextOrder(order, 'name')).toEqual({ key: 'name', isDescending: false });
  });

  test('by number, what has none last either way, equal ones as they were', () => {
    expect(namesBy({ key: 'duty', isDescending: false })).toEqual([
      'point 10',
      'climb',
      'point 9',
      'take off',
      'idle',
    ]);
    expect(namesBy({ key: 'duty', isDescending: true })).toEqual([
      'take off',
      'climb',
      'point 9',
      'point 10',
      'idle',
    ]);
    expect(namesBy(null)).toEqual(rows.map(({ name }) => name));
  });

  test('by words as people number them', () => {
    expect(namesBy({ key: 'name', isDescending: false })).toEqual([
      'climb',
      'idle',
      'point 9',
      'point 10',
      'take off',
    ]);
  });
});

test('a filter holds of a name with every word in it, in any order and letter case', () => {
  expect(matches('Injector duty at fault pressure', 'PRESSURE inj')).toBe(true);
  expect(matches('Injector duty', 'injector pulse')).toBe(false);
  expect(matches('Injector duty', '')).toBe(true);
});
