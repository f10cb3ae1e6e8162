import { describe, expect, test } from 'vitest';
import { faultTableView, harnessView } from '../../server/features/installation-pages.ts';
import { installationViewOf } from '../../server/features/installation-view.ts';
import type { ColumnView, InstallationView, Place } from '../../server/features/installation-view-types.ts';
import { readSettings } from '../../server/settings.ts';
import type { Analysis } from '../../shared/analysis.ts';
import { injectorDuty } from '../../shared/derived/fuel.ts';
import { pointValues } from '../../shared/derived/registry.ts';
import { valueText } from '../../shared/derived/value.ts';
import { analysed, editor, OVERLAY } from './marked.ts';

function viewed(section: string, settings: unknown = {}): InstallationView & { readonly analysis: Analysis } {
  const analysis = analysed(`${OVERLAY}${section}`);
  return { analysis, ...installationViewOf(analysis, { ...editor, settings: readSettings(settings) })! };
}

/** The text at a place in the file itself. */
function textAt({ file }: Analysis, place: Place | null | undefined): string {
  const { start, end } = place!.range;
  return file.text.slice(file.lines.offset(start), file.lines.offset(end));
}

const POINT = 'operating_points:\n  take_off: { speed: 5100 rpm }\n';

describe('derived values by operating point', () => {
  const { values, analysis } = viewed(POINT);
  const cell = (view: InstallationView['values'], key: keyof ColumnView & string, wanted: string, row = 0) =>
    view.rows[row]!.cells[view.columns.findIndex((column) => column[key] === wanted)];

  test('a row a point, a cell a quantity: the very values that every other face shows', () => {
    expect(values.rows.map(({ name }) => name)).toEqual(['take_off', 'cruise']);
    const shown = cell(values, 'key', 'injector_duty', 1)!;
    const column = values.columns.find(({ key }) => key === 'injector_duty')!;
    const value = analysis.derivation!.points[1]!.get(injectorDuty)!;
    expect(`${shown.text} ${column.unit}`).toBe(valueText(value));
    expect(shown.number).toBe(value.canonical);
    expect(column).toMatchObject({ label: 'Injector duty', isGiven: false });
  });

  test('what the file says of a point stands beside it and leads to its line', () => {
    const speed = cell(values, 'label', 'Speed')!;
    expect(speed).toMatchObject({ text: '5100 rpm', number: 5100, value: null });
    expect(textAt(analysis, speed.place)).toBe('5100 rpm');
    // The rest is in the base file.
    const throttle = cell(values, 'label', 'Throttle')!;
    expect(throttle.place).toMatchObject({
      uri: expect.stringMatching(/complete\.engine\.yaml$/),
      name: 'complete.engine.yaml: operating_points.take_off.throttle',
    });
  });

  test('what is wanting at a point is no zero', () => {
    expect(cell(values, 'label', 'Battery voltage', 0)).toBeNull();
    expect(cell(values, 'label', 'Battery voltage', 1)).toMatchObject({ text: '13.8 V' });
  });

  test('numbers stand in the units that the reader prefers', () => {
    const { values: preferred } = viewed(POINT, { units: ['psi', '°F'] });
    const unitOf = (key: string) => preferred.columns.find((column) => column.key === key)!.unit;
    expect(unitOf('manifold_pressure')).toBe('psi abs');
    expect(unitOf('charge_temperature')).toBe('°F');
    const pascals = cell(values, 'key', 'ambient_pressure')!.number!;
    // 1 psi is 6894.757 Pa: NIST SP 811, appendix B.8.
    expect(Number(cell(preferred, 'key', 'ambient_pressure')!.text)).toBeCloseTo(pascals / 6894.757, 2);
  });

  test('a column has one unit, for its numbers are compared', () => {
    for (const definition of pointValues) {
      const units = analysis.derivation!.points.flatMap((point) => point.get(definition)?.show ?? []);
      expect(new Set(units).size, definition.id).toBeLessThanOrEqual(1);
    }
  });

  test('the values of the whole file are there, each at its place', () => {
    const flow = values.whole.find(({ label }) => label === 'Injector flow at rail pressure')!;
    expect(flow.text).toMatch(/^\d+(\.\d+)? cc\/min$/);
    expect(flow.place?.name).toBe('complete.engine.yaml: fuel.injectors.static_flow');
    expect(new Set(values.whole.map(({ value }) => value)).size).toBe(values.whole.length);
  });
});

describe('the pin plan', () => {
  const pinOf = ({ plan }: InstallationView, name: string, connector?: string) =>
    plan.connectors
      .filter((one) => connector === undefined || one.name === connector)
      .flatMap(({ pins }) => pins)
      .find((pin) => pin.name === name)!;

  test('every contact of a connector stands in it, used, free or not described', () => {
    const view = viewed('inputs: { spare: { pin: A15, kind: switch } }\n');
    const { plan } = view;
    const a = plan.connectors.find(({ name }) => name === 'A')!;
    expect(a).toMatchObject({ kind: 'controller', positions: 20 });
    expect(a.pins.map(({ position }) => position)).toEqual(Array.from({ length: 20 }, (_, i) => i + 1));
    expect(pinOf(view, 'A1')).toMatchObject({
      state: 'used',
      role: 'analog-input',
      limits: ['range 0..5 V', 'resolution 12 bit'],
      users: [{ text: 'manifold_pressure' }],
      faults: [],
      place: { name: 'complete.controller.yaml: pins.A1' },
    });
    expect(pinOf(view, 'A5')).toMatchObject({ state: 'undescribed', users: [], place: null });
    expect(pinOf(view, 'C20')).toMatchObject({ state: 'own', role: 'ground' });
  });

  test('a pin that nothing uses is free, and one that two use is wrong where they say so', () => {
    const view = viewed('sensors: { oil_pressure: { pin: C1 } }\n');
    expect(pinOf(view, 'A2')).toMatchObject({ state: 'free', role: 'analog-input' });
    const { users, faults } = pinOf(view, 'C1');
    expect(users.map(({ text }) => text)).toEqual(['oil_pressure', 'injector_1']);
    expect(textAt(view.analysis, users[0]!.place)).toBe('C1');
    expect(faults.map(({ check }) => check).sort()).toEqual(['pin-role-mismatch', 'pin-used-twice']);
    for (const { message } of faults) expect(message).toMatch(/^Pin 'C1' [^`]*$/);
  });

  test('faults count as much as the reader has set', () => {
    const settings = { severities: { 'pin-used-twice': 'hint', 'pin-role-mismatch': 'hint' } };
    const { faults } = pinOf(viewed('sensors: { oil_pressure: { pin: C1 } }\n', settings), 'C1');
    expect(new Set(faults.map(({ severity }) => severity))).toEqual(new Set(['hint']));
  });

  test('a pin that the controller does not have is there, marked as unknown', () => {
    const view = viewed('sensors: { oil_pressure: { pin: C41 } }\n');
    expect(pinOf(view, 'C41')).toMatchObject({
      state: 'unknown',
      position: 41,
      faults: [{ check: 'pin-unknown', severity: 'error' }],
    });
  });

  test('without a controller file a plan is made of what is used, as a list', () => {
    const analysis = analysed('enginefile: 1\nsensors: { oil: { kind: linear, pin: A7 } }\n');
    const { plan } = installationViewOf(analysis, editor)!;
    expect(plan.controller).toBeNull();
    expect(plan.connectors).toMatchObject([
      { name: 'A', positions: null, pins: [{ name: 'A7', state: 'used', users: [{ text: 'oil' }] }] },
    ]);
  });

  test('what needs a pin and names none is said', () => {
    const { plan } = viewed(
      'sensors: { fuel_temperature: { measures: fuel_temperature, kind: thermistor } }\n',
    );
    expect(plan.open.map(({ text }) => text)).toContain('fuel_temperature');
  });

  test('the harness shows its wires, and its free contacts', () => {
    const view = viewed('harness: { connectors: { main_power: { wires: { 7: { gauge: 16 AWG } } } } }\n');
    expect(pinOf(view, '1', 'main_power')).toMatchObject({
      state: 'used',
      users: [{ text: 'supply' }],
      limits: ['gauge 16 AWG', 'length 1.4 m', 'current 9 A', 'fuse 10 A'],
    });
    expect(pinOf(view, '6', 'main_power').state).toBe('free');
    expect(pinOf(view, '7', 'main_power').faults).toMatchObject([{ severity: 'error' }]);
  });
});

describe('sensor curves', () => {
  const curvesOf = (view: InstallationView, name: string) =>
    view.sensors.find((one) => one.name === name)!.curves;
  const view = viewed('');

  test('a scaling is drawn over the volts of its pin, with its points, bounds and range', () => {
    const [curve] = curvesOf(view, 'manifold_pressure');
    expect(curve).toMatchObject({
      input: { unit: 'V' },
      reading: { label: 'Manifold pressure', unit: 'kPa abs' },
      span: [0, 5],
      bounds: [0.2, 4.8],
      points: [
        { input: 0.4, reading: 20 },
        { input: 4.65, reading: 250 },
      ],
    });
    // 20 kPa at 0.40 V and (250 − 20) / (4.65 − 0.40) kPa per volt from there.
    expect(curve!.range.low).toBeCloseTo(20 - (0.2 * 230) / 4.25);
    expect(curve!.table).toContainEqual({ input: '2.5', reading: '133.6', isFailed: false, isStated: false });
    expect(curve!.table).toContainEqual({ input: '0.4', reading: '20', isFailed: false, isStated: true });
  });

  test('outside its bounds a reading has failed, whatever the curve would make of it', () => {
    const { table } = curvesOf(view, 'manifold_pressure')[0]!;
    expect(table.filter(({ isFailed }) => isFailed).map(({ input }) => input)).toEqual(['0', '5']);
  });

  test('a thermistor is drawn over its volts and over its ohms, and both agree', () => {
    const [volts, ohms] = curvesOf(view, 'coolant_temperature');
    expect([volts!.input.unit, ohms!.input.unit]).toEqual(['V', 'ohm']);
    for (const { input, reading } of ohms!.points) {
      // The divider: 5 V over 2.49 kohm (Ohm, Kirchhoff).
      const there = volts!.points.find((point) => point.reading === reading)!;
      expect(there.input).toBeCloseTo((5 * input) / (input + 2490), 4);
    }
    expect(ohms!.samples[0]!.reading).toBeCloseTo(100, 0);
    expect(ohms!.samples.at(-1)!.reading).toBeCloseTo(0, 0);
  });

  test('a platinum sensor reads 100 °C at 138.51 ohm (IEC 60751)', () => {
    const ohms = curvesOf(view, 'oil_temperature').find(({ input }) => input.unit === 'ohm')!;
    const above = ohms.samples.findIndex(({ input }) => input >= 138.51);
    const [a, b] = [ohms.samples[above - 1]!, ohms.samples[above]!];
    const share = (138.51 - a.input) / (b.input - a.input);
    expect(a.reading + share * (b.reading - a.reading)).toBeCloseTo(100, 1);
  });

  test('a type K thermocouple is used up to 1000 °C, which is 41.276 mV (NIST Monograph 175)', () => {
    const [curve] = curvesOf(view, 'egt_1');
    expect(curve!.input.unit).toBe('mV');
    expect(curve!.span[1]).toBeCloseTo(41.276, 3);
    expect(curve!.samples.at(-1)!.reading).toBeCloseTo(1000, 3);
    expect(curve!.table.map(({ input }) => input).slice(0, 3)).toEqual(['0', '4.128', '8.255']);
    expect(curve!.table[0]!.reading).toBe('0');
  });

  test('a sensor that is read neither in volts nor in ohms has no curve, and what is written of it', () => {
    const knock = view.sensors.find(({ name }) => name === 'knock')!;
    expect(knock.curves).toEqual([]);
    expect(knock.written).toContainEqual({
      label: 'Knock frequency',
      text: '6.8 kHz',
      place: expect.objectContaining({ name: 'complete.engine.yaml: sensors.knock.frequency' }),
    });
  });

  test('readings are in the reader’s unit', () => {
    const [curve] = curvesOf(viewed('', { units: ['°F'] }), 'coolant_temperature');
    expect(curve!.reading.unit).toBe('°F');
    expect(curve!.points.map(({ reading }) => reading)).toEqual([32, 104, 212]);
  });
});

test('a controller file by itself has no installation', () => {
  expect(installationViewOf(analysed('controllerfile: 1\n', 'case.controller.yaml'), editor)).toBeNull();
});

describe('the harness page', () => {
  const WIRED =
    'based_on: ./wired.engine.yaml\nharness:\n  circuits:\n    clock: { from: supply, to: devices.display.supply }\n';

  test('draws every circuit and says where it is written', () => {
    const analysis = analysed(WIRED);
    const { svg, circuits } = harnessView(analysis, editor)!;
    const names = circuits.map(({ text }) => text);
    expect(names).toContain('map_signal');
    for (const name of names) expect(svg).toContain(`data-circuit="${name}"`);
    const own = circuits.find(({ text }) => text === 'clock')!;
    expect(textAt(analysis, own.place)).toBe('clock');
  });

  test('has no drawing without circuits', () => {
    expect(harnessView(analysed(OVERLAY), editor)).toEqual({ svg: null, circuits: [] });
  });

  test('escapes what stands in the file', () => {
    const { svg } = harnessView(
      analysed('harness: { circuits: { "<b>": { from: "x<y.z", to: "a&b.c" } } }\n'),
      editor,
    )!;
    expect(svg).not.toContain('<b>');
    expect(svg).toContain('&lt;b&gt;');
  });

  test('a connector position has the circuit that passes it', () => {
    const { plan } = installationViewOf(analysed(WIRED), editor)!;
    const bulkhead = plan.connectors.find(({ name }) => name === 'bulkhead')!;
    expect(bulkhead.pins[0]).toMatchObject({
      state: 'used',
      users: [{ text: 'map_signal' }],
      limits: ['controller.A1 – sensors.manifold_pressure.signal', '22 AWG', 'white-blue', '0.9 m'],
    });
    expect(bulkhead.pins.at(-1)).toMatchObject({ state: 'free', users: [] });
  });

  test.each([3, 1_000_000_000])(
    'a position that the circuits name is shown, and no %d positions that cannot be',
    (positions) => {
      const { plan } = viewed(`harness:
  connectors: { plug: { positions: ${positions} } }
  circuits: { one: { from: controller.A1, to: plug.x, via: [plug.999999999] } }
`);
      const { pins } = plan.connectors.find(({ name }) => name === 'plug')!;
      expect(pins.map(({ name }) => name)).toEqual([
        ...(positions === 3 ? ['1', '2', '3'] : []),
        '999999999',
        'x',
      ]);
      for (const { users } of pins.slice(-2)) expect(users).toMatchObject([{ text: 'one' }]);
    },
  );
});

describe('the fault page', () => {
  test('has the rows of the fault table, the worst first, each with its place', () => {
    const analysis = analysed(
      `${OVERLAY}outputs:\n  fuel_pump: { drives: relay, pin: C15, resistance: 80 ohm }\n`,
    );
    const { rows, summary } = faultTableView(analysis, editor)!;
    expect(summary).toMatch(/^\d+ stops, /);
    const order = ['stops', 'damages', 'degrades', 'announces', 'hidden'];
    const ranks = rows.map(({ severity }) => order.indexOf(severity));
    expect(ranks).toEqual([...ranks].sort((a, b) => a - b));
    const pump = rows.find(({ text }) => text === 'outputs.fuel_pump')!;
    expect(pump).toMatchObject({
      severity: 'stops',
      how: 'open circuit or shorted to supply',
      effects: ["No cylinder fires: 'fuel_pump' no longer runs the fuel pump."],
      lost: 'outputs.fuel_pump',
    });
    expect(textAt(analysis, pump.place)).toBe('fuel_pump');
  });
});
