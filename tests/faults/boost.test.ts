import { describe, expect, test } from 'vitest';
import { analyse } from '../../shared/analysis.ts';
import type { EngineSubject } from '../../shared/checks/check.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { faultTable } from '../../shared/faults/table.ts';
import { sampleText } from '../support/samples.ts';
import { effect, rowIn, tableOf } from './rows.ts';

const CUT = 'Boost rises to the overboost cut.';

describe('the overboost cut', () => {
  test('is no reason on an engine without one', () => {
    const project = createProject((path) => sampleText(path.slice(1)));
    const rows = faultTable(analyse(project, '/wheatear/wheatear-10.engine.yaml')!.subject as EngineSubject);
    expect(rows.flatMap(({ reasons }) => reasons).filter((reason) => reason.includes('overboost'))).toEqual(
      [],
    );
    expect(rowIn(rows)('outputs.warning_light', 'open')).toMatchObject({ severity: 'hidden', reasons: [] });
    expect(rows.filter(({ severity }) => severity === 'hidden').length).toBeGreaterThan(3);
  });

  test('is that of the map set', () => {
    const row = tableOf(`remove: [boost.overboost_cut]
boost: { servo: { on_fault: hold } }
map_sets: { sets: { climb: { apply: { boost: { overboost_cut: 170 kPa abs } } } } }
`).row('outputs.wastegate', 'open');
    expect(effect(row, 'manifold_pressure')!.value.canonical).toBe(170000);
    expect(row.reasons).toContain(CUT);
  });
});
