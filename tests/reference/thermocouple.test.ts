import { describe, expect, test } from 'vitest';
import {
  seebeckCoefficient,
  type ThermocoupleType,
  thermocoupleHotJunction,
  thermocoupleRange,
  thermocoupleTemperature,
  thermocoupleTerminalVoltage,
  thermocoupleVoltage,
} from '../../shared/physics/thermocouple.ts';

/**
 * °C and mV as printed in NIST SRD 60, all.tab (the tables of NIST Monograph 175), reference junction at 0
 * °C.
 */
const PRINTED: Record<ThermocoupleType, readonly (readonly [celsius: number, millivolts: number])[]> = {
  K: [
    [-270, -6.458],
    [-200, -5.891],
    [-100, -3.554],
    [-40, -1.527],
    [0, 0],
    [25, 1],
    [100, 4.096],
    [127, 5.206],
    [500, 20.644],
    [800, 33.275],
    [1000, 41.276],
    [1372, 54.886],
  ],
  J: [
    [-200, -7.89],
    [-100, -4.633],
    [0, 0],
    [100, 5.269],
    [250, 13.555],
    [500, 27.393],
    [750, 42.281],
    [800, 45.494],
    [1000, 57.953],
    [1200, 69.553],
  ],
  T: [
    [-150, -4.648],
    [-100, -3.379],
    [-40, -1.475],
    [0, 0],
    [25, 0.992],
    [100, 4.279],
    [150, 6.704],
    [200, 9.288],
    [300, 14.862],
    [400, 20.872],
  ],
  E: [
    [-270, -9.835],
    [-200, -8.825],
    [-100, -5.237],
    [0, 0],
    [100, 6.319],
    [300, 21.036],
    [500, 37.005],
    [700, 53.112],
    [850, 64.922],
    [1000, 76.373],
  ],
  N: [
    [-190, -3.884],
    [-100, -2.407],
    [0, 0],
    [100, 2.774],
    [300, 9.341],
    [600, 20.613],
    [800, 28.455],
    [1000, 36.256],
    [1150, 41.976],
    [1300, 47.513],
  ],
};

const CASES = Object.entries(PRINTED).flatMap(([type, points]) =>
  points.map(([celsius, millivolts]) => ({ type: type as ThermocoupleType, celsius, millivolts })),
);

test.each(CASES)(
  'type $type at $celsius °C gives the printed $millivolts mV',
  ({ type, celsius, millivolts }) => {
    const computed = thermocoupleVoltage(type, celsius + 273.15)! * 1000;
    expect(Math.abs(computed - millivolts)).toBeLessThanOrEqual(0.0005 + 1e-9);
  },
);

// The limits are left out: their printed, rounded voltage may lie beyond them.
const INSIDE = CASES.filter(({ type, celsius }) => {
  const [low, high] = thermocoupleRange(type);
  return celsius + 273.15 > low + 1 && celsius + 273.15 < high - 1;
});

test.each(INSIDE)('type $type at $millivolts mV is $celsius °C', ({ type, celsius, millivolts }) => {
  const kelvinOfHalfMicrovolt = 0.5e-6 / seebeckCoefficient(type, celsius + 273.15)!;
  const computed = thermocoupleTemperature(type, millivolts / 1000)! - 273.15;
  expect(Math.abs(computed - celsius)).toBeLessThanOrEqual(kelvinOfHalfMicrovolt * 1.01);
});

test('ranges are those of the reference functions', () => {
  const celsius = (type: ThermocoupleType) =>
    thermocoupleRange(type).map((kelvin) => Math.round(kelvin - 273.15));
  expect(celsius('K')).toEqual([-270, 1372]);
  expect(celsius('J')).toEqual([-210, 1200]);
  expect(celsius('T')).toEqual([-270, 400]);
  expect(celsius('E')).toEqual([-270, 1000]);
  expect(celsius('N')).toEqual([-270, 1300]);
});

describe('type K', () => {
  // Computed from the printed function by two independent programs; NIST prints the slopes to 0.1 µV/K.
  test.each([
    [25, 40.518],
    [100, 41.369],
    [500, 42.628],
    [800, 41.0],
    [1000, 38.981],
  ])('has at %d °C a slope of %d µV/K', (celsius, slope) => {
    expect(seebeckCoefficient('K', celsius + 273.15)! * 1e6).toBeCloseTo(slope, 2);
  });

  // Exact inverses found by bisection on the printed function (not the printed inverse, which is up to 0.06 K
  // off).
  test.each([
    [-5.891, -199.9736],
    [-1, -25.852],
    [1, 24.994],
    [4.096, 99.9944],
    [20.643, 499.9698],
    [20.645, 500.0167],
    [33.275, 799.9907],
    [50, 1232.0473],
  ])('reads %d mV as %d °C', (millivolts, celsius) => {
    expect(thermocoupleTemperature('K', millivolts / 1000)! - 273.15).toBeCloseTo(celsius, 4);
  });

  // Worked by hand from the printed table: voltages add at the cold junction, temperatures do not.
  test.each([
    [800, 25, 32.275137],
    [850, 30, 34.109832],
    [180, 40, 5.728231],
    [-20, 15, -1.374512],
  ])('gives a %d °C junction with terminals at %d °C as %d mV', (hot, cold, millivolts) => {
    const voltage = thermocoupleTerminalVoltage('K', hot + 273.15, cold + 273.15)!;
    expect(voltage * 1000).toBeCloseTo(millivolts, 5);
    expect(thermocoupleHotJunction('K', voltage, cold + 273.15)! - 273.15).toBeCloseTo(hot, 6);
  });
});
