import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { differenceOf } from '../shared/difference-of.ts';
import {
  clearCaches,
  internList,
  memo,
  memoFlatMap,
  memoMap,
  tracked,
  trackReads,
  verifyCaches,
} from '../shared/memo.ts';

/** A function that counts how often it ran. */
function counting<Inputs extends readonly unknown[], Result>(make: (...inputs: Inputs) => Result) {
  const ran: Inputs[] = [];
  const counted = (...inputs: Inputs): Result => {
    ran.push(inputs);
    return make(...inputs);
  };
  return { ran, counted };
}

const isVerified = process.env.ENGINEWRIGHT_VERIFY === '1';
afterEach(() => verifyCaches(isVerified));

describe('what is kept', () => {
  beforeEach(() => verifyCaches(false));

  test('is kept by every input, whatever was asked before', () => {
    const { ran, counted } = counting((a: object, b: string, c: object | undefined) => ({ a, b, c }));
    const kept = memo((a: object, b: string, c: object | undefined) => counted(a, b, c));
    const [one, other] = [{}, {}];
    const asked: readonly [object, string, object | undefined][] = [
      [one, 'x', other],
      [one, 'y', other],
      [other, 'x', one],
      [one, 'x', undefined],
    ];
    const first = asked.map((inputs) => kept(...inputs));
    const again = [...asked].reverse().map((inputs) => kept(...inputs));
    expect(ran).toHaveLength(4);
    for (const [i, result] of again.reverse().entries()) expect(result).toBe(first[i]);
  });

  test('may be undefined', () => {
    const { ran, counted } = counting((_: object): undefined => undefined);
    const kept = memo((key: object) => counted(key));
    const key = {};
    expect([kept(key), kept(key)]).toEqual([undefined, undefined]);
    expect(ran).toHaveLength(1);
  });

  test('of a list is kept item by item', () => {
    const { ran, counted } = counting((item: { n: number }, by: number) => item.n * by);
    const each = memoMap((item: { n: number }, by: number) => counted(item, by));
    const [one, two, three] = [{ n: 1 }, { n: 2 }, { n: 3 }];
    expect(each([one, two], 10)).toEqual([10, 20]);
    expect(each([three, two], 10)).toEqual([30, 20]);
    expect(each([two], 100)).toEqual([200]);
    expect(ran).toHaveLength(4);
    expect(
      memoFlatMap((item: { n: number }, _: undefined) => Array(item.n).fill(item))([two, one], undefined),
    ).toEqual([two, two, one]);
  });

  test('of equal lists is the same', () => {
    const [one, two] = [{}, {}];
    const list = internList([one, two]);
    expect(internList([one, two])).toBe(list);
    expect(internList([two, one])).not.toBe(list);
    expect(internList([one])).not.toBe(list);
    expect(internList([one, two, two])).toEqual([one, two, two]);
  });

  test('is let go with its inputs', async () => {
    setFlagsFromString('--expose-gc');
    const gc = runInNewContext('gc') as () => void;
    const kept = memo((_: object) => ({ large: new Array(10).fill(0) }));
    const reference = (() => new WeakRef(kept({})))();
    await new Promise((resolve) => setTimeout(resolve));
    gc();
    expect(reference.deref()).toBeUndefined();
  });
});

test('after all caches were cleared, results are computed again', () => {
  const { ran, counted } = counting((_: object) => 'result');
  const kept = memo((key: object) => counted(key));
  const key = {};
  kept(key);
  clearCaches();
  expect(kept(key)).toBe('result');
  expect(ran).toHaveLength(2);
});

describe('what is read of a tracked object', () => {
  const object = tracked(
    { fuel: 1, spark: 2, path: 3 } as Record<string, number>,
    (key) => (key === 'path' ? undefined : String(key)),
    'keys',
  );

  test('is told, and nothing else', () => {
    const { result, reads } = trackReads(() => object.fuel! + object.path!);
    expect(result).toBe(4);
    expect([...reads]).toEqual(['fuel']);
    expect([...trackReads(() => 'spark' in object).reads]).toEqual(['spark']);
    expect([...trackReads(() => Object.keys(object)).reads].sort()).toEqual(['fuel', 'keys', 'spark']);
  });

  test('is told again by who uses what was kept, and by who asked for it', () => {
    const sum = memo((one: typeof object) => one.fuel! + one.spark!);
    const outer = memo((one: typeof object) => sum(one));
    const reads = () => [...trackReads(() => outer(object)).reads].sort();
    expect(reads()).toEqual(['fuel', 'spark']);
    expect(reads()).toEqual(['fuel', 'spark']);
    const around = trackReads(() => trackReads(() => object.fuel));
    expect([...around.reads]).toEqual(['fuel']);
  });
});

describe('verifying', () => {
  beforeEach(() => verifyCaches(true));

  test('finds a planted stale result: one that follows from what is no input', () => {
    const settings = { limit: 1 };
    const stale = memo(({ n }: { n: number }) => ({ passes: n > settings.limit }));
    const key = { n: 2 };
    expect(stale(key)).toEqual({ passes: true });
    expect(stale(key)).toEqual({ passes: true });
    settings.limit = 3;
    expect(() => stale(key)).toThrow('result.passes was true and is now false');
  });

  test('finds a result that somebody changed', () => {
    const list = memo((_: object) => [1, 2]);
    const key = {};
    list(key).push(3);
    expect(() => list(key)).toThrow('Stale cache entry');
  });

  test('finds it below what is made anew', () => {
    let hidden = 1;
    const inner = memo((_: object) => hidden);
    const key = {};
    inner(key);
    hidden = 2;
    const outer = memo((one: object, _: string) => inner(one));
    expect(() => outer(key, 'first asked now')).toThrow('Stale cache entry');
  });
});

test.each([
  [{ a: [1, Number.NaN] }, { a: [1, Number.NaN] }, undefined],
  [{ a: 1 }, { a: 1, b: 2 }, 'result had 1 parts and now has 2'],
  [{ a: 1 }, { b: 1 }, 'result no longer has a'],
  [new Map([['x', 1]]), new Map([['x', 2]]), 'result.0.1 was 1 and is now 2'],
  [new Set([1]), new Set([1]), undefined],
  [Float64Array.of(1, 2), Float64Array.of(1, 3), 'result.1 was 2 and is now 3'],
  [undefined, {}, 'result was undefined and is now an object'],
])('%o and %o: %s', (a, b, difference) => {
  expect(differenceOf(a, b)).toBe(difference);
});

test('results that lead to themselves are compared', () => {
  const ring = (n: number) => {
    const one: { n: number; next?: unknown } = { n };
    one.next = one;
    return one;
  };
  expect(differenceOf(ring(1), ring(1))).toBeUndefined();
  expect(differenceOf(ring(1), ring(2))).toBe('result.n was 1 and is now 2');
});
