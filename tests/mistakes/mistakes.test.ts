import { describe, expect, test } from 'vitest';
import type { Finding } from '../../shared/checks/finding.ts';
import { verifyCaches } from '../../shared/memo.ts';
import { falseAlarms, mistakes, notFoundYet, soundChanges, soundNames } from './mistake.ts';
import { alarmName, findingsAfter, graveFindings, inWords, outcomeOf, soundAnalysis } from './trial.ts';

// Hundreds of analyses in a row; that caches agree with fresh results is tested elsewhere.
verifyCaches(false);

/** The samples and other files that mistakes are seeded into. */
const engines = [...new Set(mistakes.map(({ engine }) => engine))].filter(
  (name) => !soundNames.includes(name),
);

/** Expects no warnings and errors but the known false alarms, and those. */
function expectKnown(name: string, alarms: readonly Finding[]): void {
  const known = falseAlarms[name] ?? {};
  expect(alarms.filter((alarm) => !(alarmName(alarm) in known)).map(inWords)).toEqual([]);
  expect(Object.keys(known).filter((one) => !alarms.map(alarmName).includes(one))).toEqual([]);
}

describe('a sound file', () => {
  test.each([...engines, ...soundNames])('%s has no warning and no error', (name) => {
    expectKnown(name, graveFindings(soundAnalysis(name)));
  });
});

describe('a sound change', () => {
  test.each(soundChanges)('$title in $engine brings no warning and no error', (change) => {
    expectKnown(change.title, findingsAfter(change));
  });
});

test('every known false alarm names a sound file or change', () => {
  const names = [...engines, ...soundNames, ...soundChanges.map(({ title }) => title)];
  expect(Object.keys(falseAlarms).filter((name) => !names.includes(name))).toEqual([]);
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
