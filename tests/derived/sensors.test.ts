import { describe, expect, test } from 'vitest';
import { analyse } from '../../shared/analysis.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { allValues } from '../../shared/derived/registry.ts';
import type { DerivedValue } from '../../shared/derived/value.ts';

/** Invented demo data. Two cylinders, so that the current budget can be checked by hand. */
const ENGINE = `enginefile: 1
controller: ./test.controller.yaml
engine: { cylinders: 2, cycle: four-stroke, maximum_speed: 6000 rpm }
fuel: { stoichiometric_ratio: 14.7 }
ignition:
  arrangement: per-cylinder
  coil: { primary_resistance: 0.6 ohm, primary_inductance: 3 mH }
  dwell:
    x: { quantity: battery_voltage, unit: V, breakpoints: [8, 13.8] }
    unit: ms
    values: [4.0, 2.5]
sensors:
  map:
    { measures: manifold_pressure, kind: linear, pin: A1, fault_outside: 0.25..4.75 V,
      scaling: { 4.5 V: 260 kPa abs, 0.5 V: 10 kPa abs, 2.5 V: 100 kPa abs } }
  clt:
    measures: coolant_temperature
    kind: thermistor
    pin: A2
    supply: 5 V
    minimum: -20 °C
    maximum: 120 °C
    resistance: { 0 °C: 5.89 kohm, 20 °C: 2.53 kohm, 40 °C: 1.18 kohm, 100 °C: 0.187 kohm }
  iat:
    { measures: charge_temperature, kind: thermistor, pin: A2, supply: 5 V,
      beta: 3435 K, resistance: { 25 °C: 2.2 kohm } }
  oil: { measures: oil_temperature, kind: rtd, nominal: 1000 ohm, minimum: -50 °C, maximum: 150 °C }
  egt: { measures: exhaust_gas_temperature, kind: thermocouple, type: K, minimum: -200 °C, maximum: 1000 °C }
  lambda: { measures: lambda, kind: wideband, heater_pin: B2, range: 0.7..1.3 }
  knock: { measures: knock_intensity, kind: knock, window: { from: 10 deg, to: 60 deg } }
  crank: { measures: crank_position, kind: toothed-wheel, teeth: 36, missing: 1, first_tooth: 90 deg }
outputs:
  light: { drives: light, meaning: caution, resistance: 240 ohm }
  pump: { drives: relay, resistance: 85 ohm }
harness:
  connectors:
    main:
      positions: 3
      wires:
        1: { circuit: pump, gauge: 18 AWG, length: 2 m, current: 5 A, fuse: 7.5 A }
        2: { circuit: supply, gauge: 14 AWG, current: 6 A }
        3: { circuit: supply, gauge: 14 AWG, current: 3.5 A }
  supply: { nominal: 13.8 V, maximum: 15 V, generator_current: 20 A }
`;

const CONTROLLER = `controllerfile: 1
pins:
  A1: { role: analog-input, range: 0..5 V, resolution: 10 bit }
  A2: { role: temperature-input, range: 0..5 V, resolution: 10 bit, pull_up: 2.49 kohm }
`;

function derive(engine: string, controller = CONTROLLER): DerivedValue[] {
  const texts = new Map([
    ['/i/a.engine.yaml', engine],
    ['/i/test.controller.yaml', controller],
  ]);
  return allValues(
    analyse(
      createProject((path) => texts.get(path)),
      '/i/a.engine.yaml',
    )!.derivation!,
  );
}

const values = derive(ENGINE);

function canonicalOf(id: string, at: string): number | undefined {
  return values.find((value) => value.id === id && value.at === at)?.canonical;
}

/** Computed independently in Python 3.11 with numpy, from the definitions, unless another source is named. */
const expected: readonly (readonly [id: string, at: string, canonical: number, tolerance?: number])[] = [
  // Three points, not in order; the outer lines are extended to the ends of the input.
  ['scaling_at_zero', 'sensors.map.scaling', -12500],
  ['scaling_at_fault_low', 'sensors.map.scaling', -1250],
  ['scaling_at_fault_high', 'sensors.map.scaling', 280000],
  ['scaling_at_full', 'sensors.map.scaling', 300000],
  ['units_per_bit', 'sensors.map.scaling', 391.00684261974584],
  ['thermistor_volts_cold', 'sensors.clt.resistance', 4.301568555921542],
  ['thermistor_volts_hot', 'sensors.clt.resistance', 0.21723796266644768],
  ['thermistor_fit_error', 'sensors.clt.resistance.20 °C', -0.07127755512300382],
  ['thermistor_fit_error', 'sensors.clt.resistance.40 °C', 0.06267460833896621],
  // From the slope between two voltages, a thousandth of a kelvin to either side.
  ['thermistor_resolution_hot', 'sensors.clt.resistance', 0.9815889691594324, 1e-6],
  ['thermistor_self_heating', 'sensors.clt.resistance', 0.00251004016064257],
  // One point and its beta, from 0 to 100 °C because the sensor states no range.
  ['thermistor_volts_cold', 'sensors.iat.resistance', 3.5860216531121525],
  ['thermistor_volts_hot', 'sensors.iat.resistance', 0.40106429703449226],
  // IEC 60751, table of the Pt100: 80.31 and 157.33 ohm.
  ['rtd_resistance_low', 'sensors.oil.minimum', 803.1, 1e-4],
  ['rtd_resistance_high', 'sensors.oil.maximum', 1573.3, 1e-4],
  // NIST Monograph 175, table of type K: −5.891 and 41.276 mV.
  ['thermocouple_volts_at_minimum', 'sensors.egt.minimum', -0.005891, 1e-4],
  ['thermocouple_volts_at_maximum', 'sensors.egt.maximum', 0.041276, 1e-4],
  ['air_fuel_ratio_low', 'sensors.lambda.range', 10.29],
  ['air_fuel_ratio_high', 'sensors.lambda.range', 19.11],
  ['knock_window_width', 'sensors.knock.window', 50],
  ['knock_window_time', 'sensors.knock.window', 0.001388888888888889],
  ['degrees_per_tooth', 'sensors.crank.teeth', 10],
  ['edges_per_second', 'sensors.crank.teeth', 3600],
  ['gap_position', 'sensors.crank.first_tooth', 110],
  ['time_to_sync', 'sensors.crank.missing', 0.325],
  ['driver_current', 'outputs.light', 15 / 240],
  ['wire_diameter', 'harness.connectors.main.wires.1.gauge', 0.0010236873428326521],
  ['wire_resistance', 'harness.connectors.main.wires.1.length', 0.050129128743023804],
  ['wire_voltage_drop', 'harness.connectors.main.wires.1.current', 0.250645643715119],
  // FAA AC 43.13-1B, table 11-3.
  ['wire_protector', 'harness.connectors.main.wires.1.fuse', 10],
  // Two coils, 2.5 ms of every 20 ms, at 13.8/0.6·(1 − exp(−0.5)) A.
  ['current_coils', 'ignition.coil', 2 * 0.125 * 23 * (1 - Math.exp(-0.5))],
  ['current_heaters', 'sensors.lambda.heater_pin', 1.2],
  ['supply_wire_current', 'harness.supply.generator_current', 9.5],
  // Coils, heater, light, the relay's coil and the pump behind it; no injectors are described.
  [
    'current_budget',
    'harness.supply.generator_current',
    2 * 0.125 * 23 * (1 - Math.exp(-0.5)) + 1.2 + 13.8 / 240 + 13.8 / 85 + 5,
  ],
];

for (const [id, at, canonical, tolerance = 1e-9] of expected) {
  test(`${id} of ${at}`, () => {
    const found = canonicalOf(id, at);
    const places = values.filter((value) => value.id === id).map((value) => value.at);
    expect(found, `found at ${places.join()}`).toBeDefined();
    expect(Math.abs(found! - canonical)).toBeLessThanOrEqual(Math.abs(canonical) * tolerance);
  });
}

test('a temperature is told on one scale throughout its formula, a thermocouple in the unit of its tables', () => {
  const told = (id: string) => values.find((value) => value.id === id)!.substituted;
  expect(told('rtd_resistance_high')).toContain('0.0039083 1/K · (150 °C − 0 °C)');
  expect(told('rtd_resistance_high')).toContain('(150 °C − 100 °C)');
  expect(told('thermocouple_volts_at_maximum')).toMatch(/= 41\.3 mV$/);
});

test.each([
  [4, 2],
  [3, 3], // an odd number makes no pairs
])('wasted sparks of %d cylinders come from %d coils', (cylinders, coils) => {
  const text = ENGINE.replace('cylinders: 2', `cylinders: ${cylinders}`).replace(
    'per-cylinder',
    'wasted-spark',
  );
  const current = derive(text, CONTROLLER).find(({ id }) => id === 'current_coils');
  // Charged every turn: 2.5 ms of every 10 ms.
  expect(current?.canonical).toBeCloseTo(coils * 0.25 * 23 * (1 - Math.exp(-0.5)), 9);
});

test('the time to synchronisation is that of the cranking speed which the file states', () => {
  const stated = ENGINE.replace('cylinders: 2,', 'cylinders: 2, cranking_speed: 400 rpm,');
  const time = derive(stated, CONTROLLER).find(({ id }) => id === 'time_to_sync');
  // Half the time at the usual 200 rpm.
  expect(time?.canonical).toBeCloseTo(0.1625, 9);
});

test('every value tells its formula, its numbers and its source', () => {
  for (const value of values) {
    expect(value.formula).toContain(' = ');
    expect(value.substituted).toMatch(/\d/);
    expect(value.substituted).not.toMatch(/not a number|infinity/);
    expect(value.sources.length).toBeGreaterThan(0);
  }
});

describe('what is not known is not computed', () => {
  const idsOf = (text: string, controller?: string) => derive(text, controller).map(({ id }) => id);

  test('the ends of an input that no controller describes', () => {
    const sensor =
      'kind: linear, measures: oil_pressure, scaling: { 0.5 V: 0 bar gauge, 4.5 V: 10 bar gauge }';
    expect(idsOf(`enginefile: 1\nsensors: { oil: { ${sensor} } }`)).not.toContain('scaling_at_full');
  });

  test('a ratiometric sensor is read up to its supply', () => {
    const sensor =
      'kind: ratiometric, measures: oil_pressure, supply: 5 V, scaling: { 0.5 V: 0 bar gauge, 4.5 V: 10 bar gauge }';
    const full = derive(`enginefile: 1\nsensors: { oil: { ${sensor} } }`).find(
      ({ id }) => id === 'scaling_at_full',
    );
    expect(full?.canonical).toBeCloseTo(1.125e6, 3);
    expect(full?.inputs[0]?.how).toContain('supply');
  });

  test('a thermistor whose divider has no supply', () => {
    const ids = idsOf(ENGINE.replaceAll('    supply: 5 V\n', '').replaceAll('supply: 5 V,', ''));
    expect(ids).toContain('thermistor_fit_error');
    expect(ids).not.toContain('thermistor_volts_hot');
  });

  test('half-written sensors give what can be known, and never throw', () => {
    const half = ['sensors:', 'sensors: { map: }', 'sensors: { map: { kind: ratiometric, scaling: } }']
      .concat('sensors: { t: { kind: thermistor, resistance: { 0 °C: 5 kohm, 0 °C: 5 kohm } } }')
      .concat('sensors: { k: { kind: thermocouple, type: K, maximum: 9000 °C } }')
      .concat('sensors: { w: { kind: toothed-wheel, teeth: 0, missing: 3 } }')
      .concat('harness: { connectors: { a: { wires: { 1: { gauge: 20 AWG, fuse: } } } } }')
      .concat('outputs: { a: { drives: injector, cylinders: [] }, b: }');
    for (const text of half) expect(() => derive(`enginefile: 1\n${text}\n`)).not.toThrow();
  });
});
