import { expect, test } from 'vitest';
import { type EngineSubject, engineCheck, type Found, type Severity } from '../../shared/checks/check.ts';
import { analyseCase } from '../support/fixture.ts';

const subject = analyseCase(new Map([['case.engine.yaml', 'based_on: ./wired.engine.yaml\n']]), ['none'])
  .subject as EngineSubject;

type Told = readonly [point: string, severity?: Severity];

/** What is shown of what a check says about operating points: with the first controller, and with the standby controller. */
function shown(first: readonly Told[], standby: readonly Told[]): string[] {
  const check = engineCheck({
    id: 'made-for-this-test',
    severity: 'warning',
    title: 'Made for this test',
    onStandby: true,
    page: { catches: '', why: '', example: '', remedy: '', basis: '' },
    *find({ installation, derivation }) {
      for (const [name, severity] of installation.standby ? first : standby)
        yield { at: derivation.point(name)!.node, message: name, ...(severity && { severity }) };
    },
  });
  return ([...check.find(subject, {}, {})] as Found[]).map(({ message }) => message);
}

const ofStandby = (point: string) => `With the standby controller: ${point}`;

test('a finding at one point does not hide what the standby controller does at another', () => {
  expect(shown([['cruise']], [['take_off']])).toEqual(['cruise', ofStandby('take_off')]);
  expect(shown([['cruise']], [['cruise'], ['take_off']])).toEqual(['cruise', ofStandby('take_off')]);
  expect(shown([], [['cruise']])).toEqual([ofStandby('cruise')]);
});

const SEVERITIES: readonly Severity[] = ['error', 'warning', 'information', 'hint'];

test('at one place, the standby controller is mentioned only if it is worse', () => {
  for (const [own, first] of SEVERITIES.entries())
    for (const [other, standby] of SEVERITIES.entries()) {
      const expected = other < own ? ['cruise', ofStandby('cruise')] : ['cruise'];
      expect(shown([['cruise', first]], [['cruise', standby]]), `${first}, ${standby}`).toEqual(expected);
    }
});

test('the gravest of several findings at one place counts, and the usual severity if a finding has none', () => {
  expect(
    shown(
      [
        ['cruise', 'error'],
        ['cruise', 'hint'],
      ],
      [['cruise']],
    ),
  ).toEqual(['cruise', 'cruise']);
  expect(shown([['cruise', 'information']], [['cruise']])).toEqual(['cruise', ofStandby('cruise')]);
  expect(shown([['cruise']], [['cruise', 'warning']])).toEqual(['cruise']);
});
