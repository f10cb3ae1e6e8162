import { describe, expect, test } from 'vitest';
import type { EngineSubject } from '../../shared/checks/check.ts';
import { faultBounds, faultTableOver } from '../../shared/faults/envelope.ts';
import { faultTable } from '../../shared/faults/table.ts';
import { fullProofOf } from '../../shared/limits/verdict.ts';
import { BRIEF } from '../../shared/proof/proof.ts';
import { enginewright } from '../support/command-line.ts';
import { analyseCase } from '../support/fixture.ts';

interface Bound {
  readonly id: string;
  readonly fault: string | null;
}

interface Row {
  readonly of: string;
  readonly fault: string;
  readonly bounds: readonly Bound[];
}

const FILE = new URL('../fixtures/complete.engine.yaml', import.meta.url).pathname;

const tableOf = (text: string) => {
  const subject = analyseCase(new Map([['case.engine.yaml', text]])).subject as EngineSubject;
  const proof = fullProofOf(subject, BRIEF);
  return { rows: faultTable(subject), over: faultTableOver(subject, proof, faultBounds(proof, subject)) };
};

describe('the fault table over the envelope', () => {
  test('has exactly the bounds that `prove` gives under the same fault', async () => {
    const run = async (...args: string[]) =>
      JSON.parse((await enginewright(...args, '--format', 'json', '--time', '600')).out);
    const [table, proved] = [await run('faults', FILE, '--over', 'envelope'), await run('prove', FILE)];
    const rows = table.files[0].rows as Row[];
    const bounds = proved.files[0].bounds as Bound[];
    const ofSensors = rows.filter(({ bounds: own }) => own.length > 0);
    expect(ofSensors.length).toBeGreaterThan(4);
    for (const { of, bounds: own } of ofSensors) {
      const [{ fault }] = own as [Bound];
      expect(of).toContain(fault);
      expect(own).toEqual(bounds.filter((bound) => bound.fault === fault));
    }
    // Every bound of a sensor that fails alone is in some row.
    const named = new Set(ofSensors.flatMap(({ bounds: own }) => own.map(({ fault }) => fault)));
    const all = bounds.flatMap(({ fault }) => (fault?.startsWith('sensors.') ? fault : []));
    expect([...named].sort()).toEqual([...new Set(all)].sort());
  });

  test('finds a limit that is broken between the operating points, and says where', () => {
    // Right on a warm day; on the coldest one the air is denser than the controller assumes.
    const { rows, over } = tableOf(`based_on: ./complete.engine.yaml
sensors:
  charge_temperature: { substitute: 30 °C }
`);
    const rowIn = (table: typeof rows) => table.find(({ of }) => of === 'sensors.charge_temperature')!;
    const [before, after] = [rowIn(rows), rowIn(over)];
    expect(before.severity).toBe('degrades');
    expect(after.bounds!.some(({ verdict }) => verdict === 'broken')).toBe(true);
    expect(after.severity).toBe('damages');
    expect(after.reasons.join(' ')).toMatch(
      /Delivered lambda at high load reaches \d\.\d+ in some state of the envelope, beyond the limit of \d\.\d+: \d+ rpm, /,
    );
  });
});
