import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { dividerResistance, dividerVoltage, selfHeatingPower } from '../../shared/physics/divider.ts';
import { leastSquares } from '../../shared/physics/least-squares.ts';
import { converterStep } from '../../shared/physics/sensor-scaling.ts';
import {
  fitThermistor,
  type ThermistorPoint,
  thermistorResistance,
  thermistorResolution,
  thermistorTemperature,
  thermistorVoltage,
} from '../../shared/physics/thermistor.ts';

/** A coolant sensor with 2.5 kohm at 20 °C, as in the demonstration files; invented. */
const POINTS: readonly ThermistorPoint[] = [
  { temperature: 273.15, resistance: 5890 },
  { temperature: 313.15, resistance: 1180 },
  { temperature: 373.15, resistance: 187 },
];
const CURVE = fitThermistor(POINTS)!;
const kelvin = fc.double({ min: 233.15, max: 423.15, noNaN: true });

describe('curve', () => {
  test('three points are met exactly, in whatever order they are given', () => {
    const reversed = fitThermistor([...POINTS].reverse())!;
    expect(reversed).toEqual(CURVE);
    for (const { temperature, resistance } of POINTS) {
      expect(thermistorTemperature(CURVE, resistance)).toBeCloseTo(temperature, 9);
      expect(thermistorResistance(CURVE, temperature)! / resistance).toBeCloseTo(1, 10);
    }
  });

  test('temperature and resistance undo each other', () => {
    fc.assert(
      fc.property(kelvin, (temperature) => {
        const resistance = thermistorResistance(CURVE, temperature)!;
        expect(thermistorTemperature(CURVE, resistance)).toBeCloseTo(temperature, 8);
      }),
    );
  });

  test('a fourth point on the curve changes nothing; one off the curve shows as an error there', () => {
    const onCurve = { temperature: 293.15, resistance: thermistorResistance(CURVE, 293.15)! };
    const good = fitThermistor([...POINTS, onCurve])!;
    expect(good.method).toBe('least-squares');
    for (const { error } of good.points) expect(Math.abs(error)).toBeLessThan(1e-8);

    const bad = fitThermistor([...POINTS, { ...onCurve, resistance: onCurve.resistance * 1.2 }])!;
    const largest = Math.max(...bad.points.map(({ error }) => Math.abs(error)));
    expect(largest).toBeGreaterThan(1);
  });

  test('least squares: no small change of a coefficient makes the sum of squares smaller', () => {
    const points = [
      ...POINTS,
      { temperature: 293.15, resistance: 2600 },
      { temperature: 353.15, resistance: 310 },
    ];
    const curve = fitThermistor(points)!;
    const sum = (a: number, b: number, c: number) =>
      points.reduce((total, { temperature, resistance }) => {
        const x = Math.log(resistance);
        return total + (a + b * x + c * x ** 3 - 1 / temperature) ** 2;
      }, 0);
    const best = sum(curve.a, curve.b, curve.c);
    for (const factor of [0.999, 1.001]) {
      expect(sum(curve.a * factor, curve.b, curve.c)).toBeGreaterThan(best);
      expect(sum(curve.a, curve.b * factor, curve.c)).toBeGreaterThan(best);
      expect(sum(curve.a, curve.b, curve.c * factor)).toBeGreaterThan(best);
    }
  });

  test('points that make no curve give none', () => {
    const [cold, warm] = POINTS as [ThermistorPoint, ThermistorPoint];
    expect(fitThermistor([])).toBeUndefined();
    expect(fitThermistor([cold])).toBeUndefined();
    expect(fitThermistor([cold, { ...warm, resistance: cold.resistance }])).toBeUndefined();
    expect(fitThermistor([cold, { ...warm, resistance: 0 }])).toBeUndefined();
    expect(fitThermistor([cold, { ...warm, temperature: Number.NaN }])).toBeUndefined();
  });

  test('it says when the resistance does not fall from cold to hot', () => {
    expect(CURVE.falls).toBe(true);
    const swapped = fitThermistor([
      { temperature: 273.15, resistance: 1180 },
      { temperature: 313.15, resistance: 5890 },
      { temperature: 373.15, resistance: 187 },
    ])!;
    expect(swapped.falls).toBe(false);
    const rising = fitThermistor([
      { temperature: 273.15, resistance: 187 },
      { temperature: 313.15, resistance: 5890 },
    ])!;
    expect(rising.falls).toBe(false);
    expect(thermistorResistance(rising, 300)).toBeUndefined();
    expect(thermistorVoltage(rising, 300, 2490, 5)).toBeUndefined();
    expect(thermistorResolution(rising, 300, 2490, 5, 0.001)).toBeUndefined();
  });
});

describe('a curve that rises somewhere is noticed', () => {
  // 1/T = A + B·x + C·x³ with x = ln R falls in T for x² < −B / 3C = 3.33; invented.
  const [a, b, c] = [1e-2, -1e-4, 1e-5];
  const at = (x: number) => ({ temperature: 1 / (a + b * x + c * x ** 3), resistance: Math.exp(x) });

  test.each([
    ['where its resistance is smallest', [1, 5, 9]],
    ['where it is greatest', [-9, -5, -1]],
    ['in the middle alone, where ln R is zero', [-5, 3, 6]],
  ])('%s', (_, logarithms) => expect(fitThermistor(logarithms.map(at))!.falls).toBe(false));

  test('but not where it rises beyond its points', () => {
    expect(fitThermistor([2, 5, 9].map(at))!.falls).toBe(true);
    expect(fitThermistor([-9, -5, -2].map(at))!.falls).toBe(true);
  });
});

describe('input', () => {
  test('divider voltage and resistance undo each other', () => {
    const ohm = fc.double({ min: 10, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(ohm, fc.double({ min: 500, max: 20000, noNaN: true }), (resistance, pullUp) => {
        const voltage = dividerVoltage({ resistance, pullUp, supply: 5 });
        expect(dividerResistance({ voltage, pullUp, supply: 5 }) / resistance).toBeCloseTo(1, 9);
      }),
    );
  });

  test('resolution is the temperature between two neighbouring converter steps', () => {
    const step = converterStep({ span: 5, bits: 12 });
    fc.assert(
      fc.property(kelvin, (temperature) => {
        const voltage = thermistorVoltage(CURVE, temperature, 2490, 5)!;
        const reading = (volts: number) =>
          thermistorTemperature(CURVE, dividerResistance({ voltage: volts, pullUp: 2490, supply: 5 }));
        const measured = reading(voltage - step / 2) - reading(voltage + step / 2);
        const resolution = thermistorResolution(CURVE, temperature, 2490, 5, step)!;
        expect(resolution / measured).toBeCloseTo(1, 2);
      }),
    );
  });

  test('a hot thermistor reads more coarsely than a warm one', () => {
    const step = converterStep({ span: 5, bits: 10 });
    const at = (temperature: number) => thermistorResolution(CURVE, temperature, 2490, 5, step)!;
    expect(at(413.15)).toBeGreaterThan(2 * at(353.15));
  });

  test('self-heating is greatest, a quarter of the short-circuit power, where sensor equals pull-up', () => {
    const at = (resistance: number) => selfHeatingPower({ resistance, pullUp: 2490, supply: 5 });
    expect(at(2490)).toBeCloseTo(25 / 2490 / 4, 12);
    expect(at(2400)).toBeLessThan(at(2490));
    expect(at(2600)).toBeLessThan(at(2490));
  });
});

describe('least squares', () => {
  test('solves a square system exactly', () => {
    const [x, y] = leastSquares(
      [
        [2, 1],
        [1, -1],
      ],
      [5, 1],
    )!;
    expect(x).toBeCloseTo(2, 12);
    expect(y).toBeCloseTo(1, 12);
  });

  test('averages where it can do no better', () => {
    expect(leastSquares([[1], [1], [1]], [1, 2, 6])![0]).toBeCloseTo(3, 12);
  });

  test('refuses columns that do not determine the answer', () => {
    const rows = [
      [1, 2],
      [2, 4],
      [3, 6],
    ];
    expect(leastSquares(rows, [1, 2, 3])).toBeUndefined();
  });
});
