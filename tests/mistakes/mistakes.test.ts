import { describe, expect, test } from 'vitest';
import { mistakes, notFoundYet, unusualEngines } from './mistake.ts';
import { graveFindings, inWords, outcomeOf, soundAnalysis } from './trial.ts';

const engines = [...new Set(mistakes.map(({ engine }) => engine))];

describe('a sound installation', () => {
  test.each([...engines, ...unusualEngines])('%s has no warning and no error', (name) => {
    expect(graveFindings(soundAnalysis(name)).map(inWords)).toEqual([]);
  });
});

test('no two mistakes have the same title', () => {
  const titles = mistakes.map(({ title }) => title);
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
    const isFound = near.length > 0;
    expect({ isFound, elsewhere: isFound ? [] : elsewhere.map(inWords) }).toMatchObject({
      isFound: !notFoundYet.includes(mistake.title),
    });
  });
});
