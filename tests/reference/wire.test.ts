import { describe, expect, test } from 'vitest';
import {
  aircraftWire,
  copperResistivity,
  resistancePerMetre,
  voltageDrop,
  voltageDropLimit,
  wireArea,
  wireDiameter,
  wireResistance,
} from '../../shared/physics/wire.ts';

const FOOT = 0.3048;

/** Gauge, diameter in mils and ohm per 1000 ft at 20 °C: NBS Handbook 100, tables 6 and 8, from memory. */
const HANDBOOK_100 = [
  [0, 324.9, 0.09827],
  [2, 257.6, 0.1563],
  [4, 204.3, 0.2485],
  [6, 162.0, 0.3951],
  [8, 128.5, 0.6282],
  [10, 101.9, 0.9989],
  [12, 80.8, 1.588],
  [14, 64.1, 2.525],
  [16, 50.8, 4.016],
  [18, 40.3, 6.385],
  [20, 32.0, 10.15],
  [22, 25.3, 16.14],
  [24, 20.1, 25.67],
  [26, 15.9, 40.81],
] as const;

test.each(HANDBOOK_100)('gauge %d is %d mil thick and has %d ohm in 1000 ft', (gauge, mils, ohms) => {
  expect(Math.abs(wireDiameter({ gauge }) / 25.4e-6 - mils)).toBeLessThan(0.06);
  expect(resistancePerMetre(gauge, 293.15) * 1000 * FOOT).toBeCloseTo(ohms, ohms > 10 ? 1 : 2);
  expect(Math.abs((resistancePerMetre(gauge, 293.15) * 1000 * FOOT) / ohms - 1)).toBeLessThan(0.002);
});

// GNU units 2.22, awg(n), mm; the cross-section follows, mm².
test.each([
  [-3, 11.684, 107.2193],
  [0, 8.251463, 53.475121],
  [10, 2.588187, 5.261155],
  [16, 1.290846, 1.308696],
  [20, 0.811821, 0.517619],
  [36, 0.127, 0.0126677],
])('gauge %d has %d mm and %d mm²', (gauge, millimetres, squareMillimetres) => {
  const diameter = wireDiameter({ gauge });
  expect(diameter * 1000).toBeCloseTo(millimetres, 6);
  expect((wireArea({ diameter }) * 1e6) / squareMillimetres).toBeCloseTo(1, 5);
});

// FAA AC 43.13-1B, page 11-22: a hot wire may be 254.5/(234.5 + T) times as long, T in °C.
test.each([-40, 0, 20, 60, 85, 105])(
  'copper at %d °C follows the 234.5 °C rule within 0.01 %%',
  (celsius) => {
    const factor =
      copperResistivity({ temperature: celsius + 273.15 }) / copperResistivity({ temperature: 293.15 });
    expect(Math.abs(factor / ((234.5 + celsius) / 254.5) - 1)).toBeLessThan(1e-4);
  },
);

describe('voltage drop', () => {
  // FAA AC 43.13-1B, table 11-7: feet, gauge, printed drop at 20 A. (Its 4 V row prints 3.60 for what is
  // 3.555.)
  test.each([
    [107, 6, 0.942],
    [90, 4, 0.504],
    [100, 14, 6.12],
  ])('20 A over %d ft of gauge %d lose %d V', (feet, gauge, volts) => {
    const resistance = aircraftWire(gauge)!.maximumResistance * feet * FOOT;
    expect(voltageDrop({ current: 20, resistance })).toBeCloseTo(volts, 2);
  });

  // Table 11-8, gauge 10 at 20 A. (Its 19.5 ft row prints .366 where (.00126)(19.5)(20) is .4914: a
  // misprint.)
  test.each([
    [39, 0.98],
    [156, 3.93],
    [273, 6.88],
  ])('20 A over %d ft of gauge 10 lose %d V', (feet, volts) => {
    const resistance = aircraftWire(10)!.maximumResistance * feet * FOOT;
    expect(Math.abs(voltageDrop({ current: 20, resistance }) - volts)).toBeLessThan(0.005);
  });

  // Solid copper at 20 °C from the table above: 9 A, 9 ft of gauge 18 at 6.385 ohm per 1000 ft.
  test('9 A over 9 ft of solid gauge 18 lose 0.517 V', () => {
    const area = wireArea({ diameter: wireDiameter({ gauge: 18 }) });
    const resistivity = copperResistivity({ temperature: 293.15 });
    const resistance = wireResistance({ resistivity, length: 9 * FOOT, area });
    expect(voltageDrop({ current: 9, resistance })).toBeCloseTo(0.5172, 3);
  });

  // Table 11-6, from memory; the continuous column confirmed by tables 11-7 and 11-8.
  test('a 14 V system may lose 0.5 V, a 28 V system 1 V, and twice that for a short time', () => {
    for (const nominal of [12, 13.8, 14, 14.4]) expect(voltageDropLimit(nominal, 'continuous')).toBe(0.5);
    for (const nominal of [24, 27.6, 28]) expect(voltageDropLimit(nominal, 'continuous')).toBe(1);
    expect(voltageDropLimit(13.8, 'intermittent')).toBe(1);
    expect(voltageDropLimit(28, 'intermittent')).toBe(2);
  });
});

describe('protection', () => {
  // FAA AC 43.13-1B, table 11-3 (page 11-15) and table 11-9 (page 11-23).
  test.each([
    [22, 5, 5, 3],
    [18, 10, 10, 6],
    [16, 10, 15, 7],
    [14, 15, 20, 10],
    [10, 30, 40, 17],
    [6, 70, 80, 50],
    [2, 100, 125, 95],
  ])(
    'gauge %d bears a fuse of %d A, a breaker of %d A, and %d A in a bundle',
    (gauge, fuse, breaker, current) => {
      const wire = aircraftWire(gauge)!;
      expect(wire).toMatchObject({ gauge, fuse, breaker });
      expect(wire.current['105 °C']).toBe(current);
    },
  );

  test('an odd gauge is held to the next thinner row, and a thinner wire than any to none', () => {
    expect(aircraftWire(19)!.gauge).toBe(20);
    expect(aircraftWire(3)!.gauge).toBe(4);
    expect(aircraftWire(-3)!.gauge).toBe(0);
    expect(aircraftWire(26)).toBeUndefined();
  });

  test('gauge 24 has no protector in the chart', () => {
    expect(aircraftWire(24)).not.toHaveProperty('fuse');
  });
});
