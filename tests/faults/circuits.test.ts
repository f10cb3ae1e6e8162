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

/** One fuse for the controller, the injectors and the relay of the pump, which is wired as a device. */
const SHARED = `based_on: ./wired.engine.yaml
remove: [harness.circuits.controller_supply, harness.circuits.injector_supply, harness.circuits.panel_supply]
devices:
  fuel_pump: { kind: other, terminals: [contact_in, contact_out, positive, negative] }
  clock: { kind: instrument, terminals: [supply] }
harness:
  splices: { engine_supply: {}, panel_supply: {} }
  circuits:
    engine_supply: { from: supply, to: splices.engine_supply, fuse: 10 A }
    engine_supplies:
      from: splices.engine_supply
      to: [controller.C19, outputs.injector_1.supply, outputs.injector_2.supply, outputs.injector_3.supply, outputs.injector_4.supply]
    panel_supply: { from: supply, to: splices.panel_supply, fuse: 5 A }
    panel_supplies:
      from: splices.panel_supply
      to: [outputs.caution_light.supply, outputs.warning_light.supply, outputs.fuel_pump.supply, sensors.lambda.heater_supply, devices.clock.supply]
    pump_supply: { from: supply, to: devices.fuel_pump.contact_in, fuse: 15 A }
    pump_feed: { from: devices.fuel_pump.contact_out, to: devices.fuel_pump.positive }
    pump_ground: { from: devices.fuel_pump.negative, to: ground }
`;

describe('a circuit between splices and devices', () => {
  const shared = faultTable(analyseCase(new Map([['case.engine.yaml', SHARED]])).subject as EngineSubject);
  const of = (circuit: string, fault: FaultKind): FaultRow =>
    shared.find((one) => one.of === `harness.circuits.${circuit}` && one.fault === fault)!;

  test('of the controller and its loads is fed by the aircraft, not by the supply pin of the controller', () => {
    for (const circuit of ['engine_supply', 'engine_supply.fuse', 'engine_supplies']) {
      const { severity, reasons } = of(circuit, 'open');
      expect(severity, circuit).toBe('stops');
      // It has a supply of its own.
      expect(reasons.join(), circuit).toContain('until the pilot selects the standby controller');
    }
    expect(of('engine_supply', 'shorted_to_supply').lost).toEqual([]);
  });

  test('of a panel is not fed by the instrument on it', () => {
    const lost = ['caution_light', 'warning_light', 'fuel_pump'].map((name) => `outputs.${name}`);
    expect(of('panel_supply', 'open').lost).toEqual(expect.arrayContaining(lost));
  });

  test('of a device with the name of an output takes that output', () => {
    for (const circuit of ['pump_supply', 'pump_supply.fuse', 'pump_feed', 'pump_ground'])
      expect(of(circuit, 'open'), circuit).toMatchObject({ lost: ['outputs.fuel_pump'], severity: 'stops' });
    expect(of('pump_feed', 'shorted_to_ground').severity).toBe('stops');
    // The pump runs all the time.
    expect(of('pump_feed', 'shorted_to_supply').severity).toBe('hidden');
    expect(of('pump_ground', 'shorted_to_supply').severity).toBe('stops');
    expect(of('pump_ground', 'shorted_to_ground').lost).toEqual([]);
    expect(of('pump_supply', 'shorted_to_supply').lost).toEqual([]);
  });
});

test('the 5 V of a position sensor shorted to the supply takes the servo', () => {
  expect(row('circuits.wastegate_5v', 'shorted_to_supply').lost).toContain('outputs.wastegate');
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
