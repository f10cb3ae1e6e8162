import { describe, expect, test } from 'vitest';
import { relativeStepText, stepBetween } from '../../shared/compare/step.ts';
import { stepWords } from '../../shared/compare/words.ts';
import { formatUnit, parseQuantity, type Quantity } from '../../shared/quantity/index.ts';
import {
  changed,
  compareTexts,
  complete,
  completeController,
  edited,
  names,
  told,
  valuesIn,
} from './pair.ts';

describe('what makes no difference', () => {
  test.each([
    ['a comment', ['bore: 84 mm', 'bore: 84 mm # measured']],
    ['another unit of an equal value', ['pressure: 3.0 bar', 'pressure: 300 kPa']],
    ['per cent or a bare share', ['effectiveness: 60 %', 'effectiveness: 0.6']],
    ['quotes', ['layout: opposed', 'layout: "opposed"']],
    ['a range in another unit', ['fault_outside: 0.2..4.8 V', 'fault_outside: 200..4800 mV']],
    ['zeros at the end', ['values: [170, 145, 125, 110, 100]', 'values: [170.0, 145, 125, 110, 1.0e2]']],
    [
      'block for flow',
      [
        'intercooler: { effectiveness: 60 %, pressure_loss: 4 kPa }',
        'intercooler:\n    pressure_loss: 4 kPa\n    effectiveness: 60 %',
      ],
    ],
    ['the order of points', ['{ 0.5 V: 0 bar, 4.5 V: 6 bar }', '{ 4.5 V: 6 bar, 0.5 V: 0 bar }']],
    ['a temperature on another scale', ['active_above: 60 °C', 'active_above: 140 °F']],
    ['the order of actions', ['[light, fuel-cut]', '[fuel-cut, light]']],
    ['the order of a pair of cylinders', ['cylinders: [1, 2]', 'cylinders: [2, 1]']],
    ['another way to the same file', ['./complete.controller.yaml', 'panel/../complete.controller.yaml']],
  ] as const)('%s', (_, replacement) => {
    expect(changed(replacement)).toEqual({ changes: [], consequences: [] });
  });

  test('the unit of a table with equal cells', () => {
    const inSeconds = [
      'unit: ms\n      values: [2.60, 1.80, 1.30, 0.97, 0.75]',
      'unit: us\n      values: [2600, 1800, 1300, 970, 750]',
    ] as const;
    expect(changed(inSeconds)).toEqual({ changes: [], consequences: [] });
  });

  test('the order of sections', () => {
    const [head, ...sections] = complete.split(/^(?=[a-z_]+:\n)/m);
    const turned = [head, ...sections.reverse()].join('\n');
    expect(turned).not.toBe(complete);
    expect(compareTexts(complete, turned)).toEqual({ changes: [], consequences: [] });
  });

  test('what is written in a base instead of the file itself', () => {
    const overlay = 'based_on: ./complete.engine.yaml\nrevision: A\n';
    const comparison = compareTexts(complete, overlay);
    expect(comparison.changes).toEqual([]);
    expect(valuesIn(comparison)).toEqual([]);
  });
});

test('the order of a list counts where it says something', () => {
  expect(told(changed(['pins: [C9, C10]', 'pins: [C10, C9]']))).toEqual([
    'value outputs.wastegate.pins: [C9, C10] → [C10, C9]',
  ]);
});

describe('a value', () => {
  test('that is a name in digits has no step', () => {
    expect(told(changed(['id: 0x320', 'id: 0x321']))).toEqual([
      'value bus.messages.engine_1.id: 0x320 → 0x321',
    ]);
  });

  test('is told with its step in the unit and in per cent', () => {
    expect(told(changed(['static_flow: 340 cc/min', 'static_flow: 374 cc/min']))).toEqual([
      'value fuel.injectors.static_flow: 340 cc/min → 374 cc/min (+34 cc/min, +10 %)',
    ]);
  });

  test('of a share steps in points', () => {
    const { changes } = changed(['maximum_duty: 85 %', 'maximum_duty: 80 %']);
    expect(changes).toMatchObject([{ step: { canonical: expect.closeTo(-0.05, 12), unit: 'points' } }]);
    expect(told({ changes, consequences: [] })).toEqual([
      'value fuel.injectors.maximum_duty: 85 % → 80 % (−5 points, −5.9 %)',
    ]);
  });

  test('on a temperature scale changes in kelvins, without a relative change', () => {
    expect(told(changed(['limit: 880 °C', 'limit: 890 °C']))).toEqual([
      'value closed_loop.exhaust_gas_temperature.limit: 880 °C → 890 °C (+10 K)',
    ]);
  });

  test.each([
    ['a gauge pressure', '2.2 bar gauge', '2.4 bar gauge', '+0.2 bar'],
    ['an angle', '10 deg', '12 deg', '+2 deg'],
    ['a value that was zero', '0 bar', '0.2 bar', '+0.2 bar'],
    ['a pressure difference', '2 bar', '2.5 bar', '+0.5 bar, +25 %'],
    ['an absolute pressure', '200 kPa abs', '220 kPa abs', '+20 kPa, +10 %'],
  ])('that is %s changes by', (_, was, is, text) => {
    const [old, now] = [was, is].map((one) => parseQuantity(one) as Quantity);
    const unit = formatUnit(old!.unit!, old!.reference);
    expect(stepWords(stepBetween(old!.canonical, now!.canonical, unit))).toBe(text);
  });

  test('that is an offset has no relative change', () => {
    const [was, is] = [
      [
        ['offset: 0 rpm', 'offset: 10 rpm'],
        ['scale: 0.25 rpm', 'scale: 0.5 rpm'],
      ],
      [
        ['offset: 0 rpm', 'offset: 15 rpm'],
        ['scale: 0.25 rpm', 'scale: 0.75 rpm'],
      ],
    ].map((replacements) => edited(complete, replacements as [string, string][])) as [string, string];
    expect(told(compareTexts(was, is))).toEqual([
      expect.stringMatching(/offset: 10 rpm → 15 rpm \(\+5 rpm\)$/),
      expect.stringMatching(/scale: 0\.5 rpm → 0\.75 rpm \(\+0\.25 rpm, \+50 %\)$/),
    ]);
  });

  test('in another pressure reference is another value without a step', () => {
    expect(told(changed(['overboost_cut: 160 kPa abs', 'overboost_cut: 60 kPa gauge']))).toEqual([
      'value boost.overboost_cut: 160 kPa abs → 60 kPa gauge',
    ]);
  });

  test.each([
    ['a choice', ['timing: sequential', 'timing: paired'], 'sequential → paired'],
    ['a list', ['action: [light, fuel-cut]', 'action: [fuel-cut]'], '[light, fuel-cut] → [fuel-cut]'],
    ['a range', ['speed: 1200..5000 rpm', 'speed: 1200..4800 rpm'], '1200..5000 rpm → 1200..4800 rpm'],
    [
      'a relation',
      ['{ 0.5 V: 0 bar, 4.5 V: 6 bar }', '{ 0.5 V: 0 bar, 4.5 V: 7 bar }'],
      '0.5 V: 0 bar, 4.5 V: 6 bar → 0.5 V: 0 bar, 4.5 V: 7 bar; the same input reads 7 instead of 6 bar at 4.5 V',
    ],
    ['what can not be read', ['bore: 84 mm', 'bore: 84 kPa'], '84 mm → 84 kPa'],
    [
      'a key that the format does not know',
      ['idle_speed: 1300 rpm', 'idle_speed: 1300 rpm\n  colour: red'],
      'added: red',
    ],
  ] as const)('may be %s', (_, replacement, text) => {
    const lines = told(changed(replacement));
    expect(lines).toHaveLength(1);
    expect(lines[0]).toMatch(/: /);
    expect(lines[0]!.slice(lines[0]!.indexOf(': ') + 2)).toBe(text);
  });
});

test('how far a percentage moved is in points, and other values in per cent or in their unit', () => {
  const moved = (was: number, is: number, unit: string) => relativeStepText(stepBetween(was, is, unit));
  expect(moved(0.569, 0.657, '%')).toBe('+8.8 points');
  expect(moved(8.22e-3, 9.42e-3, 'ms')).toBe('+14.6 %');
  expect(moved(300, 305, '°C')).toBe('+5 K');
  expect(moved(45_000, 35_000, 'kPa gauge')).toBe('−10 kPa');
  expect(moved(3, 3, 'bar')).toBe('');
});

describe('a map', () => {
  test('is compared cell by cell', () => {
    const { changes } = changed(
      ['[71, 81, 86, 83]', '[71, 84, 86, 82]'],
      ['[76, 87, 92, 89]', '[76, 88, 92, 89]'],
    );
    expect(changes).toMatchObject([
      { type: 'table', grid: { moved: [9, 11, 13], rise: 9, fall: 11, resampled: false } },
    ]);
    expect(told({ changes, consequences: [] })).toEqual([
      'table fuel.volumetric_efficiency: 3 of 16 cells changed, +3 points at 3000 rpm, 100 kPa abs (81 → 84 %) and −1 points at 6000 rpm, 100 kPa abs (83 → 82 %)',
    ]);
  });

  test('with a breakpoint in between that changes nothing has the same values', () => {
    const { changes, consequences } = changed([
      'breakpoints: [-20, 20, 80] }\n    unit: ms\n    values: [32, 14, 7]',
      'breakpoints: [-20, 0, 20, 80] }\n    unit: ms\n    values: [32, 23, 14, 7]',
    ]);
    expect(told({ changes, consequences })).toEqual([
      'table fuel.cranking_pulse: breakpoints changed, compared at the old and new ones (4): all values equal',
    ]);
    expect(consequences).toEqual([]);
  });

  test('with other breakpoints is read at those of both, edges held', () => {
    const { changes } = changed([
      'breakpoints: [-20, 20, 80] }\n    unit: ms\n    values: [32, 14, 7]',
      'breakpoints: [-30, 20, 50] }\n    unit: ms\n    values: [40, 14, 8]',
    ]);
    expect(changes).toHaveLength(1);
    const [change] = changes;
    if (change?.type !== 'table') throw new Error('a table was changed');
    const celsius = (kelvin: number) => Math.round((kelvin - 273.15) * 1e6) / 1e6;
    const milli = (seconds: number) => Math.round(seconds * 1e9) / 1e6;
    expect(change.grid.x.breakpoints.map(celsius)).toEqual([-30, -20, 20, 50, 80]);
    expect(change.grid.x.common.map(celsius)).toEqual([-20, 50]);
    // Below −20 °C the old curve holds 32 ms; at 50 °C it is 14 − 7/2 ms. The new one is 40 − 26/5 ms at −20 °C.
    expect(change.grid.was.map(milli)).toEqual([32, 32, 14, 10.5, 7]);
    expect(change.grid.is.map(milli)).toEqual([40, 34.8, 14, 8, 8]);
    expect(change.grid.moved).toEqual([0, 1, 3, 4]);
  });

  test('over another pressure reference is not held against the old one', () => {
    const { changes } = changed([
      'y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 180] }',
      'y: { quantity: manifold_pressure, unit: kPa gauge, breakpoints: [-70, 80] }',
    ]);
    expect(told({ changes, consequences: [] })).toEqual([
      'value fuel.injection_end: map of 2 × 2 cells → map of 2 × 2 cells',
    ]);
  });

  test('that a map set lays over the engine is named by its set', () => {
    const comparison = changed(['- [10, 15]', '- [10, 20]']);
    expect(names(comparison)).toEqual(['Map set ferry › Boost › Boost target']);
  });
});

describe('a thing', () => {
  test('that is renamed is recognised, with the keys that name it', () => {
    const comparison = changed(
      ['  lambda: { measures', '  wideband: { measures'],
      ['lambda: { sensor: lambda,', 'lambda: { sensor: wideband,'],
    );
    expect(told(comparison)).toEqual([
      'renamed sensors.wideband: renamed from sensors.lambda, 1 reference updated',
    ]);
  });

  test('that is renamed and changed is told as both', () => {
    const lines = told(
      changed(['egt_1: { measures', 'exhaust: { measures'], ['maximum: 1000 °C', 'maximum: 950 °C']),
    );
    expect(lines).toEqual([
      'renamed sensors.exhaust: renamed from sensors.egt_1',
      'value sensors.exhaust.maximum: 1000 °C → 950 °C (−50 K)',
    ]);
  });

  test('that is renamed takes its derived values along', () => {
    const comparison = changed(['  take_off: { speed', '  departure: { speed']);
    expect(told(comparison)).toEqual([
      'renamed operating_points.departure: renamed from operating_points.take_off',
    ]);
    expect(comparison.consequences).toEqual([]);
  });

  test('inside a renamed thing is looked at there', () => {
    const lines = told(changed(['    engine_1:', '    motor:'], ['scale: 0.25 rpm', 'scale: 0.5 rpm']));
    expect(lines).toEqual([
      'renamed bus.messages.motor: renamed from bus.messages.engine_1',
      'value bus.messages.motor.signals.engine_speed.scale: 0.25 rpm → 0.5 rpm (+0.25 rpm, +100 %)',
    ]);
  });

  test('is moved where it keeps its name', () => {
    const oil =
      'oil_temperature: { start_bit: 32, bits: 8, byte_order: little, signed: false, scale: 1 K, offset: -40 °C }';
    const lines = told(
      changed([
        oil,
        `\n    engine_2:\n      id: 0x321\n      length: 8 byte\n      every: 200 ms\n      signals:\n        ${oil}`,
      ]),
    );
    expect(lines).toContain(
      'moved bus.messages.engine_2.signals.oil_temperature: moved from bus.messages.engine_1.signals.oil_temperature',
    );
  });

  test('is moved where a wire goes to another position', () => {
    expect(told(changed(['        1: { circuit', '        5: { circuit']))).toEqual([
      'moved harness.connectors.main_power.wires.5: moved from harness.connectors.main_power.wires.1',
    ]);
  });

  test('that is like no other came or went', () => {
    const lines = told(
      changed(['  cam: { measures: cam_position, kind: phase, pin: B2, pickup: hall }\n', '']),
    );
    expect(lines).toEqual([
      'removed sensors.cam: removed: measures cam_position, kind phase, pin B2, pickup hall',
    ]);
  });

  test('a signal that carries another quantity is another signal', () => {
    const types = changed([
      '        oil_temperature: { start',
      '        coolant_temperature: { start',
    ]).changes;
    expect(types.map(({ type }) => type).sort()).toEqual(['added', 'removed']);
  });
});

test('what may harm the engine stands before what is only written down', () => {
  const comparison = changed(
    ['revision: A', 'revision: B'],
    ['every: 50 ms', 'every: 20 ms'],
    ['[4, 14, 17]', '[4, 15, 17]'],
    ['pump_flow: 110 L/h', 'pump_flow: 100 L/h'],
    ['density: 0.745 kg/L', 'density: 0.75 kg/L'],
  );
  expect(names(comparison)).toEqual([
    'Ignition › Advance',
    'Fuel › Rail › Pump flow',
    'Fuel › Density',
    'Bus › Messages › engine_1 › Interval',
    'Revision',
  ]);
});

describe('a run file', () => {
  const run = `runfile: 1
engine: ./a.engine.yaml
data: ./data.csv
exhaust_delay: 250 ms
`;
  const is = (text: string) => told(compareTexts(run, edited(run, [['250 ms', text]]), 'b.run.yaml'));

  test('is compared by its values: another unit of an equal one is no change', () => {
    expect(is('0.25 s')).toEqual([]);
    expect(is('0.3 s')).toEqual([expect.stringContaining('250 ms → 0.3 s (+')]);
  });
});

test('a controller file is compared like an engine file', () => {
  const is = edited(completeController, [['maximum_current: 4 A', 'maximum_current: 3 A']]);
  expect(told(compareTexts(completeController, is, 'b.controller.yaml'))).toEqual([
    'value pins.C1.maximum_current: 4 A → 3 A (−1 A, −25 %)',
  ]);
});

test('files that are no configuration are compared all the same', () => {
  for (const text of ['', '- 1\n', 'fuel: 5\n', 'fuel: [\n', '\0', 'engine: { bore: { x: 1 } }\n']) {
    expect(compareTexts(text, text)).toEqual({ changes: [], consequences: [] });
    expect(() => compareTexts(complete, text)).not.toThrow();
    expect(() => compareTexts(text, complete)).not.toThrow();
  }
});
