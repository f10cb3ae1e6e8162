import { describe, expect, test } from 'vitest';
import { verifyCaches } from '../../shared/memo.ts';
import { falseAlarms, mistakes, notFoundYet, unusualEngines } from './mistake.ts';
import { alarmName, graveFindings, inWords, outcomeOf, soundAnalysis } from './trial.ts';

// Hundreds of analyses in a row; that caches agree with fresh results is tested elsewhere.
verifyCaches(false);

const engines = [...new Set(mistakes.map(({ engine }) => engine))];

describe('a sound installation', () => {
  test.each([...engines, ...unusualEngines])(
    '%s has no warning or error but its known false alarms',
    (name) => {
      const known = falseAlarms[name] ?? {};
      const alarms = graveFindings(soundAnalysis(name));
      expect(alarms.filter((alarm) => !(alarmName(alarm) in known)).map(inWords)).toEqual([]);
      expect(Object.keys(known).filter((one) => !alarms.map(alarmName).includes(one))).toEqual([]);
    },
  );
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
