import { describe, expect, test } from 'vitest';
import type { Finding } from '../../shared/checks/finding.ts';
import { verifyCaches } from '../../shared/memo.ts';
import { falseAlarms, soundChanges, soundEngines, soundNames } from './mistake.ts';
import {
  alarmName,
  findingsAfter,
  findingsOnOtherAxes,
  graveFindings,
  inWords,
  soundAnalysis,
} from './trial.ts';

// A hundred analyses in a row; that caches agree with fresh results is tested elsewhere.
verifyCaches(false);

/** Expects no warnings and errors but the known false alarms, and all of those. */
function expectKnown(name: string, alarms: readonly Finding[]): void {
  const known = falseAlarms[name] ?? {};
  expect(alarms.filter((alarm) => !(alarmName(alarm) in known)).map(inWords)).toEqual([]);
  expect(Object.keys(known).filter((one) => !alarms.map(alarmName).includes(one))).toEqual([]);
}

test.each(soundNames)('%s has no warning and no error', (name) => {
  expectKnown(name, graveFindings(soundAnalysis(name)));
});

describe('a sound change', () => {
  test.each(soundChanges)('$title in $engine brings no warning and no error', (change) => {
    expectKnown(change.title, findingsAfter(change));
  });
});

/** `npm run mistakes -- --axes 50` tries more. */
const SEEDS = [1, 2];

describe.each(soundEngines)('%s with its maps on other axes', (name) => {
  test.each(SEEDS)('has no other warning and no other error (seed %i)', (seed) => {
    expectKnown(`${name}, seed ${seed}`, findingsOnOtherAxes(name, seed));
  });
});

test('every known false alarm is in a sound file or change', () => {
  const onOtherAxes = soundEngines.flatMap((name) => SEEDS.map((seed) => `${name}, seed ${seed}`));
  const names = [...soundNames, ...soundChanges.map(({ title }) => title), ...onOtherAxes];
  expect(Object.keys(falseAlarms).filter((name) => !names.includes(name))).toEqual([]);
});
