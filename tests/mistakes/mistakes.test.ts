import { describe, expect, test } from 'vitest';
import { verifyCaches } from '../../shared/memo.ts';
import { mistakes, notFoundYet, soundChanges, soundNames } from './mistake.ts';
import { graveFindings, inWords, outcomeOf, soundAnalysis } from './trial.ts';

// Hundreds of analyses in a row; that caches agree with fresh results is tested elsewhere.
verifyCaches(false);

const samples = [...new Set(mistakes.map(({ engine }) => engine))].filter(
  (name) => !soundNames.includes(name),
);

test.each(samples)('without mistakes, %s has no warning and no error', (name) => {
  expect(graveFindings(soundAnalysis(name)).map(inWords)).toEqual([]);
});

test('no two changes have the same title', () => {
  const titles = [...mistakes, ...soundChanges].map(({ title }) => title);
  expect(titles.filter((title, i) => titles.indexOf(title) !== i)).toEqual([]);
});

test('every mistake that is not found yet exists', () => {
  const titles = mistakes.map(({ title }) => title);
  expect(notFoundYet.filter((title) => !titles.includes(title))).toEqual([]);
});

/** A mistake in `not-found.yaml` that is found must leave that list: `npm run mistakes -- --update`. */
describe('a mistake', () => {
  test.each(mistakes)('$title in $engine', (mistake) => {
    const { near, elsewhere } = outcomeOf(mistake);
    const told = elsewhere.map(inWords).join('\n');
    expect(near.length > 0, told).toBe(!notFoundYet.includes(mistake.title));
  });
});
