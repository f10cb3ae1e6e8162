import { describe, expect, test } from 'vitest';
import type { EngineSubject } from '../../shared/checks/check.ts';
import { allValues } from '../../shared/derived/registry.ts';
import { type FaultRow, faultTable, faultTableInSteps } from '../../shared/faults/table.ts';
import { fullProofOf } from '../../shared/limits/verdict.ts';
import { analysed, effect, tableOf } from './rows.ts';

/** A servo that stays where it is, so that the wastegate may be closed. */
const HELD = 'boost: { servo: { on_fault: hold } }\n';
const STATUS_LIGHT = 'outputs: { fault_light: { drives: light, pin: C16, meaning: status } }\n';

test('the table in steps is the table, with a pause after each loss', () => {
  const subject = analysed().subject as EngineSubject;
  const steps = faultTableInSteps(subject);
  let pauses = 0;
  let step = steps.next();
  for (; !step.done; step = steps.next()) pauses++;
  expect(pauses).toBeGreaterThan(20);
  expect(step.value).toBe(faultTable(subject));
});

describe('an output', () => {
  test('of an injector takes a quarter of the power of a four', () => {
    const row = tableOf().row('outputs.injector_1', 'open');
    expect(row).toMatchObject({ severity: 'degrades', lost: ['outputs.injector_1'], toldBy: [] });
    expect(effect(row, 'cylinders_firing')).toMatchObject({
      normal: { canonical: 4 },
      value: { canonical: 3 },
    });
    const power = effect(row, 'estimated_power')!;
    expect(power.value.canonical).toBeCloseTo(0.75 * power.normal!.canonical, 6);
    expect(power.value.formula).toBe('P_f = P · z_f / z');
  });

  test('of a wasted-spark coil takes both of its cylinders', () => {
    const row = tableOf().row('outputs.ignition_2', 'open');
    expect(effect(row, 'cylinders_firing')!.value.canonical).toBe(2);
    expect(row.reasons).toContain('No combustion in cylinder 3, 4.');
  });

  test('of one of two coils of a cylinder leaves it firing', () => {
    const twice = 'outputs: { ignition_3: { drives: ignition, cylinders: [1, 2] } }\n';
    const row = tableOf(twice).row('outputs.ignition_1', 'open');
    expect(effect(row, 'cylinders_firing')).toBeUndefined();
    expect(row).toMatchObject({ severity: 'degrades', reasons: ['Fewer sparks in cylinder 1, 2.'] });
  });

  test('of one of two injectors of a cylinder doubles its lambda', () => {
    const twice = 'outputs: { injector_5: { drives: injector, cylinder: 1 } }\n';
    const row = tableOf(twice).row('outputs.injector_5', 'open');
    const { normal, value } = effect(row, 'lambda_of_cylinder')!;
    expect(value.canonical).toBeCloseTo(2 * normal!.canonical, 9);
    expect(row.severity).toBe('damages');
  });

  test('of a low-side driver stays on when its wire is shorted to ground, and is off when shorted to supply', () => {
    const { row } = tableOf();
    expect(row('outputs.injector_1', 'shorted_to_ground')).toMatchObject({ severity: 'damages' });
    expect(row('outputs.injector_1', 'shorted_to_supply')).toMatchObject({ severity: 'degrades' });
    expect(row('outputs.caution_light', 'shorted_to_ground')).toMatchObject({ severity: 'announces' });
    expect(row('outputs.caution_light', 'open')).toMatchObject({ severity: 'hidden' });
  });

  test('of the fuel pump stops the engine; that of another relay does not', () => {
    const { row } = tableOf('outputs: { cowl_flap: { drives: relay } }\n');
    expect(row('outputs.fuel_pump', 'open')).toMatchObject({ severity: 'stops' });
    expect(row('outputs.cowl_flap', 'open')).toMatchObject({ severity: 'degrades' });
  });

  test('of the wastegate lets the pressure rise to the compressor or to the cut', () => {
    // (101.325 − 1.2) · 2.3 − 4 = 226 kPa is above the cut of 160 kPa.
    const held = tableOf(HELD).row('outputs.wastegate', 'open');
    expect(effect(held, 'manifold_pressure')!.value.canonical).toBe(160000);
    const weak = tableOf(
      'boost: { compressor: { maximum_pressure_ratio: 1.5 }, servo: { on_fault: hold } }\n',
    ).row('outputs.wastegate', 'open');
    expect(effect(weak, 'manifold_pressure')!.value.canonical).toBeCloseTo(1.5 * (101325 - 1200) - 4000, 3);
    expect(held.reasons).toContain('Boost rises to the overboost cut.');
    expect(weak.reasons).not.toContain('Boost rises to the overboost cut.');
  });
});

describe('a sensor of fuel and spark', () => {
  test('has the same values as the derived values of the file', () => {
    const { analysis, rows } = tableOf();
    const derived = allValues(analysis.derivation!);
    const lambdas = rows
      .filter(({ of }) => of.startsWith('sensors.'))
      .flatMap((row) => row.effects.filter(({ id }) => id === 'lambda').map((one) => ({ row, ...one })));
    expect(lambdas.length).toBeGreaterThan(4);
    for (const { row, at, value } of lambdas) {
      const name = row.of.replace('sensors.', '');
      const same = derived.find((one) => one.at === at && one.id === `lambda_with_${name}_${row.fault}`);
      expect(value.canonical).toBe(same!.canonical);
    }
  });

  test('lies within the proved bounds under the same fault', () => {
    const { analysis, rows } = tableOf();
    const proof = fullProofOf(analysis.subject as EngineSubject);
    const bounds = [...proof.bounds()].filter(({ id }) => id === 'lambda');
    for (const { of, effects } of rows.filter(({ of }) => /sensors\.(manifold|charge)/.test(of))) {
      const own = bounds.filter(({ fault, mapSet }) => fault === of && mapSet === 'climb');
      const high = own.find(({ side }) => side === 'high')!.bound;
      const low = own.find(({ side }) => side === 'low')!.bound;
      // The point at take-off is a state of the envelope in this map set; cruise states its own lambda.
      const there = effects.filter(({ id, point }) => id === 'lambda' && point === 'take_off');
      for (const { value } of there) {
        expect(value.canonical).toBeLessThanOrEqual(high);
        expect(value.canonical).toBeGreaterThanOrEqual(low);
      }
    }
    expect(bounds.length).toBeGreaterThan(0);
  });

  test('of manifold pressure damages the engine if its substitute is too low, and boost then runs away', () => {
    const row = tableOf('sensors: { manifold_pressure: { substitute: 80 kPa abs } }\n').row(
      'sensors.manifold_pressure',
    );
    expect(row).toMatchObject({ fault: 'substitute', noticed: true, severity: 'damages' });
    expect(row.lost).toEqual(expect.arrayContaining(['boost.target', 'boost.overboost_cut']));
    const pressure = effect(row, 'manifold_pressure')!;
    expect(pressure.value.canonical).toBeCloseTo(2.3 * (101325 - 1200) - 4000, 3);
    expect(effect(row, 'assumed_manifold_pressure')!.value.canonical).toBe(80000);
    expect(effect(row, 'lambda_at_compressor_limit')!.value.canonical).toBeGreaterThan(
      effect(row, 'lambda')!.value.canonical,
    );
  });

  test('stops the engine if the mixture is too lean to burn, or if its reading is impossible', () => {
    const reasonsWith = (changes: string) => {
      const { severity, reasons } = tableOf(changes).row('sensors.manifold_pressure', 'low');
      expect(severity).toBe('stops');
      return reasons.join();
    };
    const undetected =
      'remove: [sensors.manifold_pressure.fault_outside, sensors.manifold_pressure.substitute]\n';
    expect(reasonsWith(undetected)).toContain('so lean that the engine may stop.');
    const negative =
      'sensors: { manifold_pressure: { scaling: { 0.40 V: 0 kPa abs, 4.65 V: 250 kPa abs } } }\n';
    expect(reasonsWith(undetected + negative)).toContain('from an impossible reading; the engine may stop.');
  });

  test('of the throttle moves pressure and spark together, which is not too early', () => {
    const closed = 'sensors: { throttle_position: { substitute: 0 % } }\n';
    const row = tableOf(closed).row('sensors.throttle_position');
    expect(effect(row, 'manifold_pressure')!.value.canonical).toBeCloseTo(70000, 3);
    expect(row.reasons.join()).not.toContain('too early');
    expect(row.severity).toBe('degrades');
  });

  test('with fault bounds but no substitute has a row for each end', () => {
    const { rows } = tableOf();
    const own = rows.filter(({ of }) => of === 'sensors.coolant_temperature');
    expect(own.map(({ fault, noticed }) => [fault, noticed])).toEqual([
      ['low', true],
      ['high', true],
    ]);
  });

  // At 140 kPa lambda 0.9 is usual; 15 % leaner is 1.035, and the limit at high load 1.05.
  test('damages with a mixture that is too lean for its pressure, as the check of single faults has it', () => {
    const at = 'operating_points: { cruise: { manifold_pressure: 140 kPa abs, lambda: 0.9 } }\n';
    const rowWith = (substitute: string) =>
      tableOf(`sensors: { charge_temperature: { substitute: ${substitute} } }\n${at}`).row(
        'sensors.charge_temperature',
      );
    const [within, beyond] = [rowWith('70 °C'), rowWith('74 °C')];
    expect(effect(within, 'lambda', 'cruise')!.value.canonical).toBeCloseTo(1.031, 3);
    expect(within.severity).toBe('degrades');
    expect(effect(beyond, 'lambda', 'cruise')!.value.canonical).toBeCloseTo(1.045, 3);
    expect(beyond).toMatchObject({
      severity: 'damages',
      reasons: [expect.stringMatching(/^Lambda is 1\.04\d? at `cruise`, above the limit of 1\.03\d*\.$/)],
    });
  });
});

describe('another sensor', () => {
  test('takes its limits, loops and signals with it', () => {
    const { row } = tableOf();
    expect(row('sensors.oil_pressure').lost).toEqual(['sensors.oil_pressure', 'protection.oil_pressure_low']);
    expect(row('sensors.oil_temperature').lost).toContain('bus.messages.engine_1.signals.oil_temperature');
    expect(row('sensors.knock')).toMatchObject({ severity: 'degrades', fault: 'lost' });
    expect(row('sensors.knock').lost).toContain('closed_loop.knock');
  });

  test('is hidden without a status light, and announced with one', () => {
    expect(tableOf().row('sensors.oil_pressure')).toMatchObject({ severity: 'hidden', toldBy: [] });
    expect(tableOf(STATUS_LIGHT).row('sensors.oil_pressure')).toMatchObject({
      severity: 'announces',
      toldBy: ['outputs.fault_light'],
    });
  });

  test('without fault bounds is told only by lights that come on whichever way it fails', () => {
    const fuel = (limits: string) =>
      `sensors:\n  fuel_temperature: { measures: fuel_temperature, kind: linear, scaling: { 0.5 V: -20 °C, 4.5 V: 140 °C }, supply: 5 V }\nprotection:\n  fuel: { watches: fuel_temperature, ${limits}, hysteresis: 3 K, action: [light] }\n`;
    const hot = tableOf(fuel('above: { warning: 60 °C }'));
    expect(hot.row('sensors.fuel_temperature')).toMatchObject({ noticed: false, severity: 'hidden' });
    const never = tableOf(fuel('above: { warning: -60 °C }'));
    expect(never.row('sensors.fuel_temperature').toldBy).toEqual(['outputs.warning_light']);
  });

  test('loses nothing but itself if a second one measures the same', () => {
    const second =
      'sensors:\n  oil_pressure_2: { measures: oil_pressure, kind: linear, scaling: { 0.5 V: 0 bar gauge, 4.5 V: 10 bar gauge } }\n';
    expect(tableOf(second).row('sensors.oil_pressure').lost).toEqual(['sensors.oil_pressure']);
  });

  test('of the crank stops the engine', () => {
    const row = tableOf().row('sensors.crank');
    expect(row.severity).toBe('stops');
    expect(effect(row, 'estimated_power')!.value.canonical).toBe(0);
  });
});

describe('what several share', () => {
  test('a supply wire, its fuse, its connector and the controller take everything', () => {
    const { row, analysis } = tableOf();
    const { sensors, outputs } = analysis.installation!.configuration;
    const all = [
      ...Object.keys(sensors!).map((name) => `sensors.${name}`),
      ...Object.keys(outputs!).map((name) => `outputs.${name}`),
    ];
    const wire = 'harness.connectors.main_power.wires.1';
    for (const of of [
      'controller',
      'harness.supply',
      'harness.connectors.main_power',
      wire,
      `${wire}.fuse`,
    ]) {
      expect(row(of)).toMatchObject({ severity: 'stops', losesAll: true });
      expect(row(of).lost).toEqual(expect.arrayContaining(all));
    }
  });

  test('a wire of a relay takes that relay', () => {
    const wires = 'harness: { connectors: { pump: { wires: { 1: { circuit: fuel_pump, fuse: 10 A } } } } }\n';
    const row = tableOf(wires).row('harness.connectors.pump.wires.1.fuse');
    expect(row).toMatchObject({ fault: 'open', lost: ['outputs.fuel_pump'], severity: 'stops' });
  });

  test('a connector of the controller takes everything on its pins', () => {
    const { lost } = tableOf().row('controller.connectors.B');
    expect(lost).toEqual(
      expect.arrayContaining(['sensors.egt_1', 'sensors.lambda', 'sensors.knock', 'sensors.crank']),
    );
    expect(lost).not.toContain('sensors.manifold_pressure');
  });

  test('that carries the wastegate and its sensor lets boost rise to the compressor limit, and past the cut', () => {
    const { row } = tableOf(`outputs: { wastegate: { pins: [A18, A19] } }\n${HELD}`);
    const pressureIn = (one: FaultRow) => effect(one, 'manifold_pressure')!.value.canonical;
    const withSensor = row('outputs.wastegate', 'open');
    expect(withSensor.lost).not.toContain('boost.overboost_cut');
    expect(pressureIn(withSensor)).toBe(160000);
    const withoutSensor = row('controller.connectors.A');
    expect(withoutSensor.lost).toContain('boost.overboost_cut');
    // The pressure ratio of 2.3 behind the losses of intake and intercooler.
    expect(pressureIn(withoutSensor)).toBeCloseTo(2.3 * (101325 - 1200) - 4000, 3);
  });

  test('the bus takes its signals, and their absence shows it', () => {
    const row = tableOf().row('bus');
    expect(row.severity).toBe('announces');
    expect(row.toldBy).toEqual(row.lost);
    expect(row.lost).toHaveLength(3);
  });
});

test('a switch that fails selects the other map set', () => {
  const { row } = tableOf();
  const closed = row('inputs.mode_switch', 'shorted_to_ground');
  // The ferry map at full throttle and 5600 rpm: 10 + 0.9 · 5 = 14.5 kPa above ambient.
  expect(effect(closed, 'manifold_pressure')!.value.canonical).toBeCloseTo(101325 + 14500, 3);
  expect(effect(row('inputs.mode_switch', 'open'), 'manifold_pressure')).toBeUndefined();
});

test('a note of the file is stated, and nothing else is', () => {
  const { rows } = tableOf();
  const stated = rows.filter((row) => row.stated !== undefined);
  expect(stated.map(({ of }) => of)).toEqual(['sensors.knock']);
});
