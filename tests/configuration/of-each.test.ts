import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ofEach, sharedEnds } from '../../shared/configuration/of-each.ts';

/** A member that is the same object wherever it stands. */
const members = Array.from({ length: 6 }, (_, number) => ({ number }));
const list = fc.array(fc.constantFrom(...members), { maxLength: 12 });

describe('what is made of each member of a list', () => {
  test('is what a function makes of it, whatever lists and arguments came before', () => {
    const each = ofEach(({ number }: { number: number }, factor: number) => number * factor);
    fc.assert(
      fc.property(list, fc.nat(12), (items, factor) => {
        expect(each(items, factor)).toEqual(items.map(({ number }) => number * factor));
      }),
      { numRuns: 2000 },
    );
  });

  test('is asked of what stands between the ends that a list shares with the last one', () => {
    const asked: string[] = [];
    const each = ofEach((item: string) => {
      asked.push(item);
      return item.toUpperCase();
    });
    each(['a', 'b', 'c', 'd'], undefined);
    asked.length = 0;
    expect(each(['a', 'b', 'x', 'd'], undefined)).toEqual(['A', 'B', 'X', 'D']);
    expect(each(['a', 'b', 'd'], undefined)).toEqual(['A', 'B', 'D']);
    expect(each(['a', 'y', 'z', 'b', 'd'], undefined)).toEqual(['A', 'Y', 'Z', 'B', 'D']);
    expect(asked).toEqual(['x', 'y', 'z']);
  });

  test('is the very list that it was, where nothing else was made of any member', () => {
    const each = ofEach((item: { sound: boolean }) => (item.sound ? undefined : 'unsound'));
    const [one, other, unsound] = [{ sound: true }, { sound: true }, { sound: false }];
    const first = each([one, unsound], undefined);
    expect(each([other, unsound], undefined)).toBe(first);
    expect(each([other, other, unsound], undefined)).not.toBe(first);
  });

  test('is kept for a few arguments apart', () => {
    let asked = 0;
    const each = ofEach((item: string, end: string) => {
      asked++;
      return item + end;
    });
    for (let round = 0; round < 3; round++)
      for (const end of ['!', '?', '.']) expect(each(['a', 'b'], end)).toEqual([`a${end}`, `b${end}`]);
    expect(asked).toBe(6);
  });
});

test('the ends that two lists share never overlap', () => {
  expect(sharedEnds(['a', 'a'], ['a', 'a', 'a'])).toEqual({ head: 2, tail: 0 });
  expect(sharedEnds(['a', 'b', 'c'], ['a', 'x', 'c'])).toEqual({ head: 1, tail: 1 });
  expect(sharedEnds([], ['a'])).toEqual({ head: 0, tail: 0 });
});
