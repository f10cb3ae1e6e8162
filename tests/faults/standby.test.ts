import { describe, expect, test } from 'vitest';
import type { EngineSubject } from '../../shared/checks/check.ts';
import type { FaultKind } from '../../shared/derived/loss.ts';
import { faultTable } from '../../shared/faults/table.ts';
import { analyseCase } from '../support/fixture.ts';

const OWN_CRANK =
  'sensors:\n  own_crank: { measures: crank_position, kind: toothed-wheel, pickup: variable-reluctance, teeth: 60, missing: 2, first_tooth: 24 deg }\n';
const LEAN = `  apply:
    fuel:
      target_lambda:
        x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 6500] }
        y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 200] }
        values:
          - [0.8, 0.8]
          - [0.8, 0.8]
`;

const standby = (over: string, crank = 'own_crank', more = '') => `based_on: ./complete.engine.yaml
${crank === 'own_crank' ? OWN_CRANK : ''}standby:
  controller: ./standby.controller.yaml
  changes_over: ${over}
  drives: { injector_1: S9, injector_2: S10, injector_3: S11, injector_4: S12, ignition_1: S13, ignition_2: S14, fuel_pump: S15 }
  reads: { ${crank}: S1, cam: S2, manifold_pressure: S3, coolant_temperature: S5, charge_temperature: S6 }
${more}`;

function rowsOf(text: string) {
  const rows = faultTable(analyseCase(new Map([['case.engine.yaml', text]])).subject as EngineSubject);
  return (of: string, fault: FaultKind = 'lost') => rows.find((one) => one.of === of && one.fault === fault)!;
}

describe('the controller that is lost', () => {
  test('stops the engine without a standby controller', () => {
    const row = rowsOf('based_on: ./complete.engine.yaml\n')('controller');
    expect(row).toMatchObject({ severity: 'stops', losesAll: true, toldBy: [] });
  });

  test('leaves the engine of the standby controller, which lacks what that does not drive and read', () => {
    const row = rowsOf(`${standby('automatic', 'own_crank', LEAN)}boost: { servo: { on_fault: hold } }\n`)(
      'controller',
    );
    expect(row.losesAll).toBe(false);
    expect(row.reasons[0]).toBe('The standby controller runs the engine.');
    expect(row.severity).not.toBe('stops');
    expect(row.lost).toEqual(
      expect.arrayContaining(['outputs.wastegate', 'sensors.knock', 'closed_loop.knock']),
    );
    expect(row.lost).not.toContain('outputs.injector_1');
    // It knows the speed from its own sensor.
    expect(row.lost).not.toContain('protection.overspeed');
    // Messages stop, which a display shows.
    expect(row.toldBy).toContain('bus.messages.engine_1.signals.engine_speed');
    const lambda = row.effects.find(({ id, point }) => id === 'lambda' && point === 'take_off')!;
    expect(lambda.value.canonical).toBeCloseTo(0.8, 9);
    // Nothing holds the wastegate open.
    const pressure = row.effects.find(({ id, point }) => id === 'manifold_pressure' && point === 'take_off')!;
    expect(pressure.value.canonical).toBeGreaterThan(pressure.normal!.canonical);
  });

  test('stops the engine until the pilot moves the switch', () => {
    const text = `${standby('switch\n  selector: standby_switch')}inputs: { standby_switch: { kind: switch } }\n`;
    const row = rowsOf(text)('controller');
    expect(row.severity).toBe('stops');
    expect(row.reasons[0]).toBe(
      'The engine stops until the pilot selects the standby controller with `standby_switch`.',
    );
  });

  test('stops the engine if the standby controller cannot run it', () => {
    const text = standby('automatic').replace(', fuel_pump: S15', '');
    expect(rowsOf(text)('controller')).toMatchObject({ severity: 'stops', losesAll: true });
  });
});

test('a lost standby controller is hidden', () => {
  expect(rowsOf(standby('automatic'))('standby')).toMatchObject({
    severity: 'hidden',
    lost: ['standby'],
    effects: [],
  });
  expect(rowsOf('based_on: ./complete.engine.yaml\n')('standby')).toBeUndefined();
});

test('a crank sensor is survived with one of the standby controller’s own, not with a shared one', () => {
  expect(rowsOf(standby('automatic'))('sensors.crank').reasons[0]).toBe(
    'The standby controller runs the engine.',
  );
  expect(rowsOf(standby('automatic', 'crank'))('sensors.crank').severity).toBe('stops');
  // The first controller does not read it.
  expect(rowsOf(standby('automatic'))('sensors.own_crank').severity).toBe('hidden');
});

test('the supply and a fuse of both take both controllers', () => {
  expect(rowsOf(standby('automatic'))('harness.supply')).toMatchObject({ severity: 'stops', losesAll: true });
  const wired = rowsOf('based_on: ./wired.engine.yaml\n');
  const own = wired('harness.circuits.controller_supply', 'open');
  expect(own.losesAll).toBe(false);
  expect(own.reasons[0]).toContain('until the pilot selects the standby controller');
  expect(wired('harness.circuits.standby_supply', 'open').lost).toContain('standby');
  const shared = rowsOf(`based_on: ./wired.engine.yaml
harness:
  splices: { power: { location: at the fuse } }
  circuits:
    controller_supply: { from: devices.battery.positive, to: splices.power }
    standby_supply: { from: splices.power, to: [controller.C19, standby.S23] }
`);
  expect(shared('harness.circuits.controller_supply', 'open').losesAll).toBe(true);
});
