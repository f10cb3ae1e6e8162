import { expect, test } from 'vitest';
import { inSlices } from '../../server/turns.ts';

test('a computation in slices lets others work in between, and ends when nobody wants it any more', async () => {
  const until = performance.now() + 60_000;
  let isWanted = true;
  function* endless(): Generator<undefined, number> {
    while (performance.now() < until) yield;
    return 0;
  }
  setTimeout(() => {
    isWanted = false;
  });
  expect(await inSlices(endless(), () => isWanted)).toBeUndefined();
});
