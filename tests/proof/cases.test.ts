import { describe, expect, test } from 'vitest';
import type { EngineSubject } from '../../shared/checks/check.ts';
import { type JudgedBound, judged } from '../../shared/limits/verdict.ts';
import { Proof } from '../../shared/proof/proof.ts';
import { analyseCase } from '../support/fixture.ts';

/**
 * A turbocharged engine whose numbers are easy to follow; invented. Each case changes one line, and the state that it makes
 * extreme is one that no breakpoint of the map, no point of the file or no usual day shows.
 */
const ENGINE = `enginefile: 1
engine:
  cylinders: 4
  cycle: four-stroke
  bore: 84 mm
  stroke: 61 mm
  idle_speed: 1200 rpm
  maximum_speed: 5800 rpm
  specific_consumption: 300 g/kWh
fuel:
  grade: mogas-e5
  rail: { regulator: manifold-referenced, pressure: 3.0 bar, fault_pressure: 2.6 bar, pump_flow: 90 L/h }
  injectors:
    static_flow: 380 cc/min
    rated_pressure: 3.0 bar
    timing: sequential
    maximum_duty: 85 %
    minimum_pulse: 1.2 ms
    dead_time: { x: { quantity: battery_voltage, unit: V, breakpoints: [8, 12, 16] }, unit: ms, values: [2.0, 1.1, 0.7] }
  volumetric_efficiency:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 3000, 5000, 6000] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 100, 200] }
    unit: "%"
    values:
      - [60, 65, 70, 66]
      - [78, 84, 90, 84]
      - [84, 90, 96, 90]
  target_lambda:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 6000] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 100, 200] }
    values: [[1.0, 1.0], [0.95, 0.92], [0.82, 0.80]]
  warm_up_enrichment: { x: { quantity: coolant_temperature, unit: °C, breakpoints: [-20, 60] }, unit: "%", values: [150, 100] }
ignition:
  system: inductive
  advance:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 6000] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 200] }
    unit: deg
    values: [[20, 36], [6, 16]]
boost:
  compressor: { maximum_pressure_ratio: 2.4, efficiency: 70 % }
  intercooler: { effectiveness: 65 %, pressure_loss: 3 kPa }
  target:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [2000, 4000, 6000] }
    y: { quantity: throttle_position, unit: "%", breakpoints: [0, 100] }
    unit: kPa abs
    values: [[80, 80, 80], [120, 130, 130]]
operating_points:
  hot: { speed: 5500 rpm, throttle: 100 %, pressure_altitude: 0 ft, isa_deviation: 20 K, battery_voltage: 13.8 V }
  high: { speed: 5500 rpm, throttle: 100 %, pressure_altitude: 10000 ft, isa_deviation: -20 K, battery_voltage: 13.8 V }
`;

const boundsOf = (text: string): JudgedBound[] => {
  const subject = analyseCase(new Map([['case.engine.yaml', text]])).subject as EngineSubject;
  return Array.from(new Proof(subject.derivation).bounds(), (one) => judged(one, subject));
};

const changed = (from: string, to: string): string => {
  expect(ENGINE).toContain(from);
  return ENGINE.replace(from, to);
};

function bound(text: string, id: string, side: 'high' | 'low', mapSet?: string, fault?: string): JudgedBound {
  const found = boundsOf(text).filter(
    (one) => one.id === id && one.side === side && one.mapSet === mapSet && one.fault === fault,
  );
  expect(found).toHaveLength(1);
  return found[0]!;
}

describe('the state that makes a value highest', () => {
  test('is a breakpoint of the boost target that no other map has', () => {
    const peak = changed(
      'values: [[80, 80, 80], [120, 130, 130]]',
      'values: [[80, 80, 80], [120, 160, 130]]',
    );
    const { witness, reached } = bound(peak, 'manifold_pressure', 'high');
    expect(reached).toBeCloseTo(160e3, -1);
    expect(witness.speed).toBeCloseTo(4000, 0);
  });

  test('is the lowest supply voltage, with the longest dead time', () => {
    const harness = changed(
      'operating_points:',
      'harness:\n  supply: { nominal: 13.8 V, minimum: 9 V, maximum: 15 V }\noperating_points:',
    );
    expect(bound(harness, 'injector_duty', 'high').witness.battery_voltage).toBe(9);
    expect(bound(harness, 'injector_duty', 'low').witness.battery_voltage).toBe(15);
  });

  test('is the coldest corner, where the charge is densest', () => {
    const { witness } = bound(ENGINE, 'air_mass_per_cycle', 'high');
    expect(witness.isa_deviation).toBe(-20);
  });

  test('is the highest altitude, where a fixed regulator leaves least pressure at an absolute boost target', () => {
    const fixed = changed(
      'regulator: manifold-referenced, pressure: 3.0 bar, fault_pressure: 2.6 bar,',
      'regulator: fixed, pressure: 3.0 bar gauge,',
    );
    const { witness } = bound(fixed, 'injector_flow', 'low');
    expect(witness.pressure_altitude).toBeCloseTo(3048, 0);
  });

  test('is the cold engine of the envelope, which no operating point shows', () => {
    const cold = changed(
      'operating_points:',
      'envelope: { coolant_temperature: 0..110 °C }\noperating_points:',
    );
    const warm = bound(ENGINE, 'injector_duty', 'high');
    const { witness, reached } = bound(cold, 'injector_duty', 'high');
    expect(witness.coolant_temperature).toBeCloseTo(273.15, 6);
    expect(reached).toBeGreaterThan(1.2 * warm.reached);
  });

  test('is one map set only', () => {
    const sets = `${ENGINE}inputs:\n  switch_1: { pin: A1 }\nmap_sets:
  selector: switch_1
  sets:
    low: { when: open }
    tow: { when: closed, apply: { boost: { target: { x: { quantity: engine_speed, unit: rpm, breakpoints: [2000, 6000] }, y: { quantity: throttle_position, unit: "%", breakpoints: [0, 100] }, unit: kPa abs, values: [[80, 80], [150, 150]] } } } }
`;
    const low = bound(sets, 'manifold_pressure', 'high', 'low');
    const tow = bound(sets, 'manifold_pressure', 'high', 'tow');
    expect(low.reached).toBeCloseTo(130e3, -1);
    expect(tow.reached).toBeCloseTo(150e3, -1);
  });

  test('is beyond the target by the overshoot', () => {
    const overshoot = changed('operating_points:', 'envelope: { overshoot: 8 kPa }\noperating_points:');
    expect(bound(overshoot, 'manifold_pressure', 'high').reached).toBeCloseTo(138e3, -1);
  });
});

describe('a verdict', () => {
  test('is that the limit holds, or is broken by the witness', () => {
    const { verdict, limit } = bound(ENGINE, 'injector_duty', 'high');
    expect(limit).toMatchObject({ value: 0.85, at: 'fuel.injectors.maximum_duty' });
    expect(verdict).toBe('holds');
    const small = changed('static_flow: 380 cc/min', 'static_flow: 120 cc/min');
    const broken = bound(small, 'injector_duty', 'high');
    expect(broken.verdict).toBe('broken');
    expect(broken.reached).toBeGreaterThan(0.85);
  });

  test('concerns one single fault', () => {
    const weak = changed('fault_pressure: 2.6 bar', 'fault_pressure: 0.3 bar');
    expect(bound(weak, 'injector_duty', 'high').verdict).toBe('holds');
    expect(bound(weak, 'injector_duty', 'high', undefined, 'fault_pressure').verdict).toBe('broken');
  });
});

test('a file without a filling map or a range of speed has no bounds', () => {
  expect(boundsOf('enginefile: 1\nengine: { cylinders: 4 }\n')).toEqual([]);
});
