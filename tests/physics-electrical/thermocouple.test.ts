import fc from 'fast-check';
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
import { thermocoupleReferences } from '../../shared/physics/thermocouple-coefficients.ts';

const TYPES: readonly ThermocoupleType[] = ['K', 'J', 'T', 'E', 'N'];
const temperatureOf = (type: ThermocoupleType) => {
  const [min, max] = thermocoupleRange(type);
  return fc.double({ min, max, noNaN: true });
};

describe.each(TYPES)('type %s', (type) => {
  test('the temperature comes back from its voltage within 1e-6 K', () => {
    fc.assert(
      fc.property(temperatureOf(type), (temperature) => {
        const back = thermocoupleTemperature(type, thermocoupleVoltage(type, temperature)!);
        expect(Math.abs(back! - temperature)).toBeLessThan(1e-6);
      }),
    );
  });

  test('the limits come back too', () => {
    for (const limit of thermocoupleRange(type)) {
      expect(thermocoupleTemperature(type, thermocoupleVoltage(type, limit)!)).toBeCloseTo(limit, 6);
    }
  });

  test('voltage rises with temperature', () => {
    fc.assert(
      fc.property(temperatureOf(type), temperatureOf(type), (one, other) => {
        fc.pre(other - one > 1e-6);
        expect(thermocoupleVoltage(type, other)!).toBeGreaterThan(thermocoupleVoltage(type, one)!);
      }),
    );
  });

  test('the slope is that of the function', () => {
    const [low, high] = thermocoupleRange(type);
    fc.assert(
      fc.property(fc.double({ min: low + 1, max: high - 1, noNaN: true }), (temperature) => {
        const rise =
          thermocoupleVoltage(type, temperature + 0.01)! - thermocoupleVoltage(type, temperature - 0.01)!;
        // The second derivative may jump where two pieces join; the slope may not.
        expect(Math.abs(rise / 0.02 - seebeckCoefficient(type, temperature)!)).toBeLessThan(2e-8);
      }),
    );
  });

  test('the pieces join, in value, where one ends and the next begins', () => {
    const { pieces } = thermocoupleReferences[type];
    for (const [i, piece] of pieces.slice(1).entries()) {
      expect(piece.from).toBe(pieces[i]!.to);
      const joint = piece.from + 273.15;
      const step = thermocoupleVoltage(type, joint)! - thermocoupleVoltage(type, joint - 1e-9)!;
      expect(Math.abs(step)).toBeLessThan(1e-9);
    }
  });

  test('the printed inverse is a good first guess: within 0.06 K of the exact one', () => {
    for (const { from, to, coefficients } of thermocoupleReferences[type].inverse) {
      // Not the very ends: their voltages are printed rounded, and may lie beyond the function's.
      for (let i = 1; i < 50; i++) {
        const millivolts = from + ((to - from) * i) / 50;
        const printed = coefficients.reduceRight((sum, c) => sum * millivolts + c, 0);
        const exact = thermocoupleTemperature(type, millivolts / 1000)! - 273.15;
        expect(Math.abs(printed - exact)).toBeLessThan(0.061);
      }
    }
  });

  test('outside the range there is no answer', () => {
    const [low, high] = thermocoupleRange(type);
    for (const temperature of [low - 0.01, high + 0.01, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(thermocoupleVoltage(type, temperature)).toBeUndefined();
      expect(seebeckCoefficient(type, temperature)).toBeUndefined();
    }
    for (const voltage of [-0.02, 0.09, Number.NaN])
      expect(thermocoupleTemperature(type, voltage)).toBeUndefined();
    expect(thermocoupleTerminalVoltage(type, 300, low - 1)).toBeUndefined();
    expect(thermocoupleTerminalVoltage(type, high + 1, 300)).toBeUndefined();
    expect(thermocoupleHotJunction(type, 0, low - 1)).toBeUndefined();
  });
});
