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
map_sets:
  sets:
    climb: { apply: { boost: { overboost_cut: 170 kPa abs } } }
    ferry: { apply: { boost: { overboost_cut: 165 kPa abs } } }
`).row('outputs.wastegate', 'open');
    expect(effect(row, 'manifold_pressure')!.value.canonical).toBe(170000);
    expect(effect(row, 'manifold_pressure', 'cruise')!.value.canonical).toBe(165000);
    expect(row.reasons).toContain(CUT);
  });
});

/** 2.3 · (101.325 − 1.2) − 4 = 226.3 kPa: the pressure ratio behind the losses of intake and intercooler. */
const COMPRESSOR = 2.3 * (101325 - 1200) - 4000;
const UNLIMITED = /^Nothing limits the boost: manifold pressure reaches 226 kPa abs at `take_off`\.$/;

describe('boost that runs away', () => {
  const held = (boost = '') => `boost: { servo: { on_fault: hold }${boost} }\n`;
  const low = 'sensors: { manifold_pressure: { substitute: 80 kPa abs } }\n';
  const reaches = (reasons: readonly string[]) => expect(reasons.join('\n'));

  test('damages an engine without an overboost cut', () => {
    const { row } = tableOf(`remove: [boost.overboost_cut]\n${held()}${low}`);
    for (const one of [row('outputs.wastegate', 'open'), row('sensors.manifold_pressure')]) {
      expect(effect(one, 'manifold_pressure')!.value.canonical).toBeCloseTo(COMPRESSOR, 3);
      expect(one.severity, one.of).toBe('damages');
      expect(one.reasons, one.of).toContainEqual(expect.stringMatching(UNLIMITED));
    }
  });

  test('degrades it if the cut limits it, and damages it if the cut needs the lost sensor', () => {
    for (const cut of ['160 kPa abs', '58.7 kPa gauge']) {
      const { row } = tableOf(held(`, overboost_cut: ${cut}`) + low);
      expect(row('outputs.wastegate', 'open'), cut).toMatchObject({ severity: 'degrades' });
      expect(row('outputs.wastegate', 'open').reasons, cut).toContain(CUT);
      const blind = row('sensors.manifold_pressure');
      expect(blind.severity, cut).toBe('damages');
      // (226.3 − 101.3) kPa = 125 kPa gauge.
      reaches(blind.reasons).toContain(
        cut.endsWith('abs')
          ? 'Manifold pressure is 226 kPa abs at `take_off`, above the limit of 160 kPa abs.'
          : 'Boost pressure is 125 kPa gauge at `take_off`, above the limit of 58.7 kPa gauge.',
      );
      expect(blind.reasons.join()).not.toContain('Nothing limits');
    }
  });

  // (84.24 kW · 0.98) / (2π · 5600 / 2.4 / 60) = 338 N m at the cut of 160 kPa, and three quarters of it without a cylinder.
  test('damages the gearbox if its torque rises above the limit, by the cylinders that fire', () => {
    const { row } = tableOf(`${held()}gearbox: { maximum_torque: 300 Nm }
harness: { connectors: { side: { wires: { 1: { circuit: wastegate }, 2: { circuit: injector_4 } } } } }
`);
    expect(row('outputs.wastegate', 'open')).toMatchObject({
      severity: 'damages',
      reasons: ['Gearbox torque of the warm engine is 338 Nm at `take_off`, above the limit of 300 Nm.'],
    });
    const both = row('harness.connectors.side');
    expect(both.lost).toEqual(expect.arrayContaining(['outputs.injector_4', 'outputs.wastegate']));
    expect(both.severity).toBe('degrades');
  });

  test('damages an engine whose file does not say what the compressor can give', () => {
    const row = tableOf(
      `remove: [boost.overboost_cut, boost.compressor.maximum_pressure_ratio]\n${held()}`,
    ).row('outputs.wastegate', 'open');
    expect(row.severity).toBe('damages');
    expect(row.reasons).toContain(
      'Nothing limits the boost: the file does not say what the compressor can give.',
    );
  });
});

describe('a servo that opens the wastegate on a fault', () => {
  const { row } = tableOf();

  test('opens it if a wire is open, and may hold it if one is shorted', () => {
    const open = row('outputs.wastegate', 'open');
    // Ambient pressure less the loss of the intake.
    expect(effect(open, 'manifold_pressure')!.value.canonical).toBeCloseTo(101325 - 1200, 3);
    expect(open).toMatchObject({ severity: 'degrades', reasons: expect.not.arrayContaining([CUT]) });
    expect(effect(open, 'estimated_power')!.value.canonical).toBeLessThan(
      effect(open, 'estimated_power')!.normal!.canonical,
    );
    for (const short of ['shorted_to_ground', 'shorted_to_supply'] as const)
      expect(effect(row('outputs.wastegate', short), 'manifold_pressure')!.value.canonical).toBe(160000);
  });

  test.each(['hold', 'closed'])('does not with `on_fault: %s`', (word) => {
    const held = tableOf(`boost: { servo: { on_fault: ${word} } }\n`).row('outputs.wastegate', 'open');
    expect(effect(held, 'manifold_pressure')!.value.canonical).toBe(160000);
  });

  test('leaves a pressure below ambient as it is, and does not with an unknown position', () => {
    const low = tableOf('operating_points: { cruise: { manifold_pressure: 60 kPa abs } }\n');
    expect(effect(low.row('outputs.wastegate', 'open'), 'manifold_pressure', 'cruise')).toBeUndefined();
    const unknown = tableOf('remove: [boost.servo.on_fault]\n').row('outputs.wastegate', 'open');
    expect(effect(unknown, 'manifold_pressure')!.value.canonical).toBe(160000);
  });
});
