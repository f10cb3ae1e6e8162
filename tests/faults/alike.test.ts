import { describe, expect, test } from 'vitest';
import type { EngineSubject } from '../../shared/checks/check.ts';
import { singleFaults } from '../../shared/derived/single-faults.ts';
import { consequencesOf, type FaultRow, faultTable } from '../../shared/faults/table.ts';
import { analyseCase } from '../support/fixture.ts';
import { effect, rowIn } from './rows.ts';

const subjectOf = (changes: string) =>
  analyseCase(new Map([['case.engine.yaml', `based_on: ./wired.engine.yaml\n${changes}`]]))
    .subject as EngineSubject;

/** The numbers and words of a row, without the objects that explain them. */
const told = ({
  noticed,
  effects,
  lost,
  losesAll,
  toldBy,
  severity,
  reasons,
}: ReturnType<typeof consequencesOf>) => ({
  ...{ noticed, lost, losesAll, toldBy, severity, reasons },
  effects: effects.map(({ id, at, pressure, normal, value }) => [
    id,
    at,
    pressure,
    normal?.canonical,
    value.canonical,
  ]),
});

describe('faults that take the same away', () => {
  test.each([
    '',
    'boost: { servo: { on_fault: hold } }\n',
    'remove: [standby]\n',
    'standby: { changes_over: switch }\n',
  ])('have the consequences that each has alone: %j', (changes) => {
    const subject = subjectOf(changes);
    const rows = faultTable(subject);
    const faults = singleFaults(subject.installation);
    expect(rows).toHaveLength(faults.length);
    for (const [i, fault] of faults.entries())
      expect(told(rows[i]!), `${fault.of} ${fault.fault}`).toEqual(told(consequencesOf(subject, fault)));
    const shared = new Set(rows.map(({ effects }) => effects));
    expect(shared.size).toBeLessThan(rows.length / 2);
  });
});

test('the wastegate that the standby controller does not drive opens, whether the crank signal is open or shorted', () => {
  const row = rowIn(faultTable(subjectOf('')));
  const pressure = (one: FaultRow) => effect(one, 'manifold_pressure')!.value.canonical;
  for (const kind of ['open', 'shorted_to_ground', 'shorted_to_supply'] as const)
    expect(pressure(row('harness.circuits.crank_signal', kind)), kind).toBeCloseTo(101325 - 1200, 3);
});
