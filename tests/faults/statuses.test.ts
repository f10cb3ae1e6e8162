import { expect, test } from 'vitest';
import type { EngineSubject } from '../../shared/checks/check.ts';
import type { FaultKind } from '../../shared/derived/loss.ts';
import { faultTable } from '../../shared/faults/table.ts';
import { analyseCase } from '../support/fixture.ts';

/** A panel that shows the lights, the map set, whether any sensor has failed, and whether one has. */
const TEXT = `based_on: ./complete.engine.yaml
map_sets: { sets: { ferry: { apply: { fuel: { rail: { fault_pressure: 2.3 bar } } } } } }
bus:
  messages:
    status:
      id: 0x330
      length: 2 byte
      every: 200 ms
      signals:
        lights: { start_bit: 0, bits: 2, of: lights, states: { 0: off, 1: caution, 2: warning } }
        map: { start_bit: 2, bits: 1, of: map_set, states: { 0: climb, 1: ferry } }
        faults: { start_bit: 3, bits: 1, of: sensor_faults, states: { 0: none, 1: some } }
        oil: { start_bit: 4, bits: 1, of: sensors.oil_pressure, states: { 0: good, 1: failed } }
`;

const { subject } = analyseCase(new Map([['case.engine.yaml', TEXT]]));
const rows = faultTable(subject as EngineSubject);
const toldBy = (of: string, fault?: FaultKind) =>
  rows.find((one) => one.of === of && (fault === undefined || one.fault === fault))!.toldBy;
const signal = (name: string) => `bus.messages.status.signals.${name}`;

test('a failed sensor is told by the status of sensors and by its own', () => {
  expect(toldBy('sensors.oil_pressure')).toEqual([signal('faults'), signal('oil')]);
  expect(toldBy('sensors.fuel_pressure')).toEqual([signal('faults')]);
  // Without fault bounds, the controller does not find it.
  expect(toldBy('sensors.egt_1')).toEqual([]);
});

test('a switch that selects another map set is told by the map set', () => {
  expect(toldBy('inputs.mode_switch', 'open')).toContain(signal('map'));
  expect(toldBy('outputs.injector_1', 'open')).not.toContain(signal('map'));
});

test('a level of the lights is told by the status of lights, also if the light itself is lost', () => {
  const low = `${TEXT}sensors: { fuel_temperature: { measures: fuel_temperature, kind: linear, scaling: { 0.5 V: -20 °C, 4.5 V: 140 °C }, supply: 5 V } }
protection: { fuel: { watches: fuel_temperature, above: { warning: -60 °C }, hysteresis: 3 K, action: [light] } }
`;
  const analysis = analyseCase(new Map([['case.engine.yaml', low]]));
  const told = faultTable(analysis.subject as EngineSubject).find(
    ({ of }) => of === 'sensors.fuel_temperature',
  )!;
  expect(told.toldBy).toEqual(['outputs.warning_light', signal('lights')]);
});

test('a lost bus is told by all that stops, a lost controller by nothing', () => {
  expect(toldBy('bus')).toEqual(expect.arrayContaining(['lights', 'map', 'faults', 'oil'].map(signal)));
  expect(toldBy('controller')).toEqual([]);
});
