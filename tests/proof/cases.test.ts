import { describe, expect, test } from 'vitest';
import type { EngineSubject } from '../../shared/checks/check.ts';
import { fullProofOf, type JudgedBound, judgements } from '../../shared/limits/verdict.ts';
import { witnessWords } from '../../shared/proof/witness.ts';
import { analyseCase } from '../support/fixture.ts';

/**
 * A turbocharged engine whose numbers are easy to follow; invented. Each case changes one line, and the state that it
 * makes extreme is not at a breakpoint of the map, not at an operating point of the file, or not on a usual day.
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
  return [...fullProofOf(subject).bounds()].flatMap((one) => judgements(one, subject));
};

const changed = (from: string, to: string): string => {
  expect(ENGINE).toContain(from);
  return ENGINE.replace(from, to);
};

function bound(text: string, id: string, side: 'high' | 'low', mapSet?: string, fault?: string): JudgedBound {
  const found = boundsOf(text).filter(
    (one) => one.id === id && one.side === side && one.mapSet === mapSet && one.fault === fault,
  );
  // One for each limit, that of the value itself first.
  expect(found.length).toBeGreaterThan(0);
  return found[0]!;
}

/** The verdict of a value on a limit that a key or check states. */
function verdictOn(
  text: string,
  id: string,
  side: 'high' | 'low',
  at: string,
  fault?: string,
): string | undefined {
  const found = boundsOf(text).filter(
    (one) => one.id === id && one.side === side && one.limit?.at === at && one.fault === fault,
  );
  expect(found).toHaveLength(1);
  return found[0]!.verdict;
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

test('states exist only where ambient pressure allows the lowest manifold pressure', () => {
  // 80 kPa abs are ambient pressure at 1949 m; by the standard atmosphere.
  const high = ENGINE.replace(/boost:\n(?: .*\n)+/, '').replace(
    'operating_points:',
    'envelope: { manifold_pressure: 80 kPa abs, pressure_altitude: 0..10000 ft }\noperating_points:',
  );
  // Level at the temperatures of the envelope, so that advance does not change with altitude.
  const level = high.replace(
    'ignition:\n',
    'ignition:\n  charge_temperature_retard: { x: { quantity: charge_temperature, unit: °C, breakpoints: [90, 120] }, unit: deg, values: [0, 5] }\n',
  );
  for (const text of [high, level]) {
    // Searched alone, so that the search knows no witness of another value.
    const subject = analyseCase(new Map([['case.engine.yaml', text]])).subject as EngineSubject;
    const { reached, witness } = fullProofOf(subject).furthest('ignition_advance', 'high')!;
    expect(witness.pressure_altitude).toBeLessThanOrEqual(1949);
    expect(reached).toBeCloseTo(0.04 * (20 - 14 * (50 / 170)) + 0.96 * (36 - 20 * (50 / 170)), 1);
    expect(bound(text, 'ambient_pressure', 'low').reached).toBeCloseTo(80e3, -3);
  }
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

describe('a cylinder with a trim', () => {
  const trims = changed(
    '  volumetric_efficiency:',
    '  cylinder_trim: { 1: 9 %, 2: 1 %, 4: -6 % }\n  volumetric_efficiency:',
  );

  test('has a duty and a pulse of its own: 9 % more fuel is 9 % more pulse without the dead time', () => {
    const base = bound(trims, 'injector_duty', 'high');
    const richest = bound(trims, 'injector_duty_of_richest_cylinder', 'high');
    // 0.92 ms at 13.8 V
    const share = (0.92e-3 * base.witness.speed) / 120;
    expect(richest.label).toContain('cylinder 1');
    expect(richest.witness).toEqual(base.witness);
    expect(richest.reached - share).toBeCloseTo(1.09 * (base.reached - share), 9);
    const leanest = bound(trims, 'injector_pulse_width_of_leanest_cylinder', 'low');
    const shortest = bound(trims, 'injector_pulse_width', 'low');
    expect(leanest.label).toContain('cylinder 4');
    expect(leanest.reached - 0.92e-3).toBeCloseTo(0.94 * (shortest.reached - 0.92e-3), 9);
    expect(bound(trims, 'lambda_of_leanest_cylinder', 'high').reached).toBeCloseTo(1 / 0.94, 9);
  });

  test('may alone exceed the allowed duty, without a fault or under one', () => {
    const tight = trims.replace('maximum_duty: 85 %', 'maximum_duty: 45 %');
    expect(bound(tight, 'injector_duty', 'high').verdict).toBe('holds');
    expect(bound(tight, 'injector_duty_of_richest_cylinder', 'high').verdict).toBe('broken');
    const weak = bound(trims, 'injector_duty_of_richest_cylinder', 'high', undefined, 'fault_pressure');
    expect(weak.reached).toBeGreaterThan(bound(trims, 'injector_duty_of_richest_cylinder', 'high').reached);
  });

  test('and without one there is nothing to tell', () => {
    expect(boundsOf(ENGINE).filter(({ id }) => /richest|leanest/.test(id))).toEqual([]);
  });
});

describe('a number with a tolerance', () => {
  const loose = changed('static_flow: 380 cc/min', 'static_flow: 380 cc/min ± 3 %').replace(
    'unit: kPa abs\n    values: [[80, 80, 80]',
    'unit: kPa abs\n    tolerance: 2 kPa\n    values: [[80, 80, 80]',
  );

  test('is named with the end at which a value is reached, and gives that value when it is written so', () => {
    const duty = bound(loose, 'injector_duty', 'high');
    expect(duty.atTolerance).toEqual([
      { at: 'boost.target', end: 'high' },
      { at: 'fuel.injectors.static_flow', end: 'low' },
    ]);
    const written = changed('static_flow: 380 cc/min', `static_flow: ${0.97 * 380} cc/min`).replace(
      '[120, 130, 130]',
      '[122, 132, 132]',
    );
    expect(bound(written, 'injector_duty', 'high').reached / duty.reached).toBeCloseTo(1, 4);
    expect(witnessWords(duty)).toMatch(
      /, `boost.target` at the high end of its tolerance, `fuel.injectors.static_flow` at the low end of its tolerance$/,
    );
  });

  test('is not named where a value does not follow from it', () => {
    // At the lowest manifold pressure the boost target does not matter.
    const pulse = bound(loose, 'injector_pulse_width', 'low');
    expect(pulse.atTolerance).toEqual([{ at: 'fuel.injectors.static_flow', end: 'high' }]);
    expect(bound(loose, 'ambient_pressure', 'high').atTolerance).toEqual([]);
    expect(bound(ENGINE, 'injector_duty', 'high').atTolerance).toEqual([]);
  });

  test('is counted where more than two are at an end', () => {
    const many = loose.replace('pressure: 3.0 bar,', 'pressure: 3.0 bar ± 0.1 bar,');
    const duty = bound(many, 'injector_duty', 'high');
    expect(duty.atTolerance).toHaveLength(3);
    expect(witnessWords(duty)).toMatch(/, 3 numbers at the ends of their tolerances$/);
  });
});

describe('the coil over the range of the supply', () => {
  const coil = (dwell: string) =>
    changed(
      '  system: inductive\n',
      `  system: inductive\n  coil: { primary_resistance: 0.55 ohm, primary_inductance: 3.2 mH, target_current: 7.0 A, energy: 75 mJ }\n  dwell: { x: { quantity: battery_voltage, unit: V, ${dwell}, unit: ms }\n`,
    ).replace('operating_points:', 'envelope: { battery_voltage: 10..15 V }\noperating_points:');

  test('a curve that ends at 8 V holds its dwell, and 13 A at 15 V', () => {
    const { reached, witness, verdict, limit } = bound(
      coil('breakpoints: [6, 8] }, values: [6.0, 4.0]'),
      'coil_current_at_battery_voltage',
      'high',
    );
    // 15 V / 0.55 ohm · (1 − exp(−4 ms · 0.55 ohm / 3.2 mH)), by hand
    expect(reached).toBeCloseTo(13.56, 2);
    expect(witness.battery_voltage).toBe(15);
    expect(verdict).toBe('broken');
    expect(limit!.value).toBeCloseTo(7 * 1.15, 9);
  });

  test('a curve that follows the voltage holds the target, also between its breakpoints', () => {
    const even = coil('breakpoints: [8, 10, 12, 14, 16] }, values: [3.9, 2.8, 2.2, 1.8, 1.5]');
    expect(bound(even, 'coil_current_at_battery_voltage', 'high').verdict).toBe('holds');
    expect(bound(even, 'coil_energy_at_battery_voltage', 'low').verdict).toBe('holds');
    const share = bound(even, 'dwell_share_at_speed', 'high');
    expect(share.verdict).toBe('holds');
    expect(share.reached).toBeCloseTo((2.8e-3 * 5800) / 120, 9);
  });

  test('too short a dwell at the lowest voltage leaves too little energy', () => {
    const weak = coil('breakpoints: [8, 16] }, values: [1.5, 1.5]');
    const { verdict, witness } = bound(weak, 'coil_energy_at_battery_voltage', 'low');
    expect(verdict).toBe('broken');
    expect(witness.battery_voltage).toBe(10);
  });
});

describe('a limit that depends on the state', () => {
  test('a cut in gauge pressure is judged at every altitude', () => {
    // 130 kPa abs are 28.7 kPa gauge at sea level and 60.3 at 10 000 ft.
    const gauge = (cut: string) => changed('boost:\n', `boost:\n  overboost_cut: ${cut}\n`);
    const cut = gauge('45 kPa gauge');
    expect(verdictOn(cut, 'boost_pressure', 'high', 'boost.overboost_cut')).toBe('broken');
    expect(bound(cut, 'boost_pressure', 'high').witness.pressure_altitude).toBeCloseTo(3048, 0);
    expect(verdictOn(gauge('61 kPa gauge'), 'boost_pressure', 'high', 'boost.overboost_cut')).toBe('holds');
    expect(verdictOn(gauge('140 kPa abs'), 'manifold_pressure', 'high', 'boost.overboost_cut')).toBe('holds');
  });

  test('the usual advance falls with manifold pressure and compression ratio', () => {
    const engine = (ratio: number) =>
      changed('  bore: 84 mm\n', `  bore: 84 mm\n  compression_ratio: ${ratio}\n`);
    const early = engine(9).replace('[6, 16]]', '[6, 31]]');
    expect(bound(engine(9), 'advance_beyond_usual', 'high').verdict).toBe('holds');
    const { verdict, reached, witness } = bound(early, 'advance_beyond_usual', 'high');
    expect(verdict).toBe('broken');
    // At 5800 rpm and 130 kPa abs, less 2 deg per 10 kPa; by hand.
    expect(witness.manifold_pressure).toBeCloseTo(130e3, -1);
    const advance = 0.04 * (20 + (10 / 17) * -14) + 0.96 * (36 + (10 / 17) * -5);
    expect(reached).toBeCloseTo(advance - 28, 1);
    expect(bound(engine(13), 'advance_beyond_usual', 'high').reached).toBeCloseTo(
      bound(engine(9), 'advance_beyond_usual', 'high').reached + 8,
      1,
    );
  });
});

describe('what sensors read and tables cover', () => {
  const sensor = (scaling: string) =>
    `${ENGINE}sensors:\n  map_sensor: { measures: manifold_pressure, kind: ratiometric, supply: 5 V, scaling: { ${scaling} }, fault_outside: 0.4..4.6 V, substitute: 100 kPa abs }\n`;

  test('a sensor has to reach what the engine runs at, at both ends', () => {
    const enough = sensor('0.5 V: 20 kPa abs, 4.5 V: 250 kPa abs');
    expect(verdictOn(enough, 'manifold_pressure', 'high', 'sensors.map_sensor')).toBe('holds');
    expect(verdictOn(enough, 'manifold_pressure', 'low', 'sensors.map_sensor')).toBe('holds');
    const short = sensor('0.5 V: 50 kPa abs, 4.5 V: 110 kPa abs');
    expect(verdictOn(short, 'manifold_pressure', 'high', 'sensors.map_sensor')).toBe('broken');
    expect(verdictOn(short, 'manifold_pressure', 'low', 'sensors.map_sensor')).toBe('broken');
  });

  test('an axis has to reach the highest speed and manifold pressure', () => {
    const at = 'ignition.advance.y.breakpoints';
    expect(verdictOn(ENGINE, 'manifold_pressure', 'high', at)).toBe('holds');
    const short = changed(
      'y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 200] }',
      'y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 120] }',
    );
    expect(verdictOn(short, 'manifold_pressure', 'high', at)).toBe('broken');
    expect(verdictOn(ENGINE, 'engine_speed', 'high', 'boost.target.x.breakpoints')).toBe('holds');
    const slow = changed('breakpoints: [2000, 4000, 6000]', 'breakpoints: [2000, 4000, 5000]');
    expect(verdictOn(slow, 'engine_speed', 'high', 'boost.target.x.breakpoints')).toBe('broken');
  });

  test('a knock window has to end before the next spark', () => {
    const knock = (end: number) =>
      `${ENGINE}sensors:\n  knock: { measures: knock_intensity, kind: knock, frequency: 6.7 kHz, window: { from: 8 deg, to: ${end} deg } }\n`;
    const at = 'sensors.knock.window.to';
    expect(verdictOn(knock(140), 'ignition_advance', 'high', at)).toBe('holds');
    expect(verdictOn(knock(150), 'ignition_advance', 'high', at)).toBe('broken');
  });
});

test('a narrower envelope has its bounds within those of a wider one', () => {
  const within = (ranges: string) =>
    boundsOf(changed('operating_points:', `envelope: { ${ranges} }\noperating_points:`));
  const narrow = within(
    'speed: 2000..5000 rpm, pressure_altitude: 1000..5000 ft, coolant_temperature: 50..90 °C',
  );
  const wide = within(
    'speed: 1500..5800 rpm, pressure_altitude: 0..9000 ft, coolant_temperature: -10..110 °C',
  );
  let met = 0;
  for (const { id, side, fault, reached } of narrow) {
    const around = wide.find((one) => one.id === id && one.side === side && one.fault === fault)!;
    met++;
    expect(side === 'high' ? reached <= around.bound : reached >= around.bound, `${id} ${side}`).toBe(true);
  }
  expect(met).toBeGreaterThan(50);
});

test('a file without a filling map or a range of speed has no bounds', () => {
  expect(boundsOf('enginefile: 1\nengine: { cylinders: 4 }\n')).toEqual([]);
});
