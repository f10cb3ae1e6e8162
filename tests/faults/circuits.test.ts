import { describe, expect, test } from 'vitest';
import type { EngineSubject } from '../../shared/checks/check.ts';
import type { FaultKind } from '../../shared/derived/loss.ts';
import { type FaultRow, faultTable } from '../../shared/faults/table.ts';
import { analyseCase } from '../support/fixture.ts';

/** The wired installation with one controller, and an engine that is enriched when cold. */
const TEXT = `based_on: ./wired.engine.yaml
remove: [standby, sensors.standby_crank]
fuel:
  warm_up_enrichment:
    x: { quantity: coolant_temperature, unit: °C, breakpoints: [-20, 70] }
    unit: "%"
    values: [170, 100]
`;

const { subject } = analyseCase(new Map([['case.engine.yaml', TEXT]]));
const rows = faultTable(subject as EngineSubject);

const row = (of: string, fault: FaultKind): FaultRow =>
  rows.find((one) => one.of === `harness.${of}` && one.fault === fault)!;

describe('a circuit', () => {
  test('that is open takes what hangs on it', () => {
    expect(row('circuits.injector_2_drive', 'open').lost).toEqual(['outputs.injector_2']);
    expect(row('circuits.lambda_pump', 'open').lost).toContain('sensors.lambda');
    expect(row('circuits.injector_supply', 'open')).toMatchObject({ severity: 'stops' });
    expect(row('circuits.controller_supply', 'open').losesAll).toBe(true);
  });

  test('shared by several sensors takes all of them, also through a splice', () => {
    const grounds = ['manifold_pressure', 'oil_pressure', 'fuel_pressure', 'coolant_temperature'];
    for (const of of ['circuits.sensor_ground', 'splices.sensor_ground'])
      expect(row(of, 'open').lost).toEqual(expect.arrayContaining(grounds.map((name) => `sensors.${name}`)));
    const supplied = ['manifold_pressure', 'fuel_pressure', 'crank', 'cam'];
    expect(row('circuits.sensor_5v', 'shorted_to_ground').lost).toEqual(
      expect.arrayContaining(supplied.map((name) => `sensors.${name}`)),
    );
  });

  test('to ground does nothing to a ground, and to supply nothing to the supply of a load', () => {
    expect(row('circuits.sensor_ground', 'shorted_to_ground')).toMatchObject({
      lost: [],
      severity: 'hidden',
    });
    expect(row('circuits.coil_supply', 'shorted_to_supply')).toMatchObject({ lost: [], severity: 'hidden' });
    expect(row('circuits.coil_supply', 'shorted_to_ground').lost).toEqual([
      'outputs.ignition_1',
      'outputs.ignition_2',
    ]);
  });

  test('of a thermistor reads cold when open, which enriches, and hot when shorted to ground', () => {
    const lambdaOf = (fault: FaultKind) =>
      row('circuits.coolant_temperature_signal', fault).effects.find(({ id }) => id === 'lambda');
    const { normal, value } = lambdaOf('open')!;
    expect(value.canonical).toBeLessThan(normal!.canonical);
    // The engine is warm already.
    expect(lambdaOf('shorted_to_ground')).toBeUndefined();
  });

  test('of the bus takes its signals', () => {
    // Four statuses and the coolant temperature.
    expect(row('circuits.bus_low', 'open').lost).toHaveLength(5);
  });
});

test('a fuse that opens is the circuit open', () => {
  const fuse = row('circuits.coil_supply.fuse', 'open');
  expect(fuse.lost).toEqual(row('circuits.coil_supply', 'open').lost);
});

test('a connector apart takes every circuit that passes it', () => {
  const { lost } = row('connectors.bulkhead', 'lost');
  expect(lost).toEqual(
    expect.arrayContaining(['sensors.manifold_pressure', 'sensors.crank', 'sensors.oil_temperature']),
  );
  expect(lost).not.toContain('sensors.knock');
});
