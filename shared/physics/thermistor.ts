import { maximumOf, minimumOf } from '../extremes.ts';
import { dividerVoltage } from './divider.ts';
import { formula } from './formula.ts';
import { leastSquares } from './least-squares.ts';

const RESISTANCE = {
  symbol: 'R',
  label: 'thermistor resistance',
  unit: 'ohm',
  show: 'kohm',
  valid: [1, 1e7],
} as const;
const TEMPERATURE = {
  symbol: 'T',
  label: 'temperature',
  unit: 'K',
  show: '°C',
  valid: [173.15, 573.15],
} as const;
const COEFFICIENTS = {
  a: { symbol: 'A', label: 'first coefficient', unit: '1/K', valid: [-0.01, 0.01] },
  b: { symbol: 'B', label: 'second coefficient', unit: '1/K', valid: [1e-5, 1e-3] },
  c: { symbol: 'C', label: 'third coefficient', unit: '1/K', valid: [-1e-6, 1e-6] },
} as const;

/** The B-value (K) of a thermistor from two points. */
export const betaValue = formula({
  id: 'beta-value',
  title: 'B-value from two points',
  expression: 'ln(R₁ / R₂) / (1 / T₁ − 1 / T₂)',
  terms: {
    firstResistance: { ...RESISTANCE, symbol: 'R₁', label: 'resistance at the first point' },
    firstTemperature: { ...TEMPERATURE, symbol: 'T₁', label: 'temperature of the first point' },
    secondResistance: { ...RESISTANCE, symbol: 'R₂', label: 'resistance at the second point' },
    secondTemperature: { ...TEMPERATURE, symbol: 'T₂', label: 'temperature of the second point' },
  },
  result: { symbol: 'β', label: 'B-value', unit: 'K' },
  source: 'iec-60539-1',
});

/** Resistance by the one-constant law. */
export const betaResistance = formula({
  id: 'beta-resistance',
  title: 'Thermistor resistance by B-value',
  expression: 'R₁ · exp(β · (1 / T − 1 / T₁))',
  terms: {
    temperature: TEMPERATURE,
    beta: { symbol: 'β', label: 'B-value', unit: 'K', valid: [1000, 8000] },
    firstResistance: { ...RESISTANCE, symbol: 'R₁', label: 'resistance at the reference' },
    firstTemperature: { ...TEMPERATURE, symbol: 'T₁', label: 'reference temperature' },
  },
  result: RESISTANCE,
  source: 'iec-60539-1',
});

/** Temperature by the three-constant law; R in ohm, so A, B and C apply to R in ohms. */
export const steinhartHartTemperature = formula({
  id: 'steinhart-hart-temperature',
  title: 'Thermistor temperature (Steinhart–Hart)',
  expression: '1 / (A + B · ln(R) + C · ln(R)^3)',
  terms: {
    resistance: RESISTANCE,
    ...COEFFICIENTS,
  },
  result: TEMPERATURE,
  source: 'steinhart-hart',
});

/** How far (K) a fitted curve misses one of its points. */
export const thermistorFitError = formula({
  id: 'thermistor-fit-error',
  title: 'Error of the fitted curve',
  expression: '1 / (A + B · ln(R) + C · ln(R)^3) − T',
  terms: {
    resistance: { ...RESISTANCE, label: 'resistance of the point' },
    ...COEFFICIENTS,
    temperature: { ...TEMPERATURE, label: 'temperature of the point', show: 'K' },
  },
  result: { symbol: 'ε', label: 'error of the curve', unit: 'K' },
  source: 'steinhart-hart',
});

/** Temperature change (K) per converter step: the slope of the curve over that of the divider. */
export const kelvinPerStep = formula({
  id: 'thermistor-resolution',
  title: 'Thermistor resolution',
  expression: 'T^2 · (B + 3 · C · ln(R)^2) · (R + Rₚ)^2 / (Vₛ · R · Rₚ) · δ',
  terms: {
    temperature: { ...TEMPERATURE, show: 'K' },
    resistance: { ...RESISTANCE, label: 'resistance at this temperature' },
    b: COEFFICIENTS.b,
    c: COEFFICIENTS.c,
    pullUp: dividerVoltage.terms.pullUp,
    supply: dividerVoltage.terms.supply,
    step: { symbol: 'δ', label: 'converter step', unit: 'V', show: 'mV', valid: [0, 0.1] },
  },
  result: { symbol: 'ΔT', label: 'temperature per count', unit: 'K' },
  source: 'rearranged',
});

export interface ThermistorPoint {
  readonly temperature: number;
  readonly resistance: number;
}

/** How a curve is fitted: through two points, through three, or by least squares to more. */
export type ThermistorMethod = 'beta' | 'steinhart-hart' | 'least-squares';

export interface ThermistorCurve {
  readonly method: ThermistorMethod;
  readonly a: number;
  readonly b: number;
  /** Zero for `beta`, whose value is 1/b. */
  readonly c: number;
  /**
   * The points, coldest first; `error` (K) is the curve's temperature at the resistance less the point's own.
   */
  readonly points: readonly (ThermistorPoint & { readonly error: number })[];
  /** Whether the resistance falls all the way from the coldest point to the hottest. */
  readonly falls: boolean;
}

/**
 * Curve of a thermistor from points in K and ohm: 1/T = A + B·ln R through two points, with C·(ln R)³ through
 * three, and by least squares of 1/T for four or more. `undefined` with fewer than two points, with a value that
 * is not above zero, or with one resistance given twice. Sources: IEC 60539-1 (two points), Steinhart and
 * Hart 1968.
 */
export function fitThermistor(given: readonly ThermistorPoint[]): ThermistorCurve | undefined {
  const points = [...given].sort((one, other) => one.temperature - other.temperature);
  if (points.some(({ temperature, resistance }) => !(temperature > 0 && resistance > 0))) return undefined;
  if (points.length < 2 || new Set(points.map((point) => point.resistance)).size < points.length)
    return undefined;

  const rows = points.map(({ resistance }) => {
    const logarithm = Math.log(resistance);
    return points.length === 2 ? [1, logarithm] : [1, logarithm, logarithm ** 3];
  });
  const solution = leastSquares(
    rows,
    points.map((point) => 1 / point.temperature),
  );
  if (!solution) return undefined;
  const [a, b, c = 0] = solution as [number, number, number?];
  return {
    method: points.length === 2 ? 'beta' : points.length === 3 ? 'steinhart-hart' : 'least-squares',
    a,
    b,
    c,
    points: points.map((point) => ({
      ...point,
      error: steinhartHartTemperature({ resistance: point.resistance, a, b, c }) - point.temperature,
    })),
    // The slope depends on (ln R)²: over a span it is extreme at the ends or where ln R is nearest to zero.
    falls: slopeExtremes(points).every((logarithm) => b + 3 * c * logarithm ** 2 > 0),
  };
}

function slopeExtremes(points: readonly ThermistorPoint[]): readonly number[] {
  const logarithms = points.map((point) => Math.log(point.resistance));
  const [low, high] = [minimumOf(logarithms), maximumOf(logarithms)];
  return [low, high, Math.min(Math.max(0, low), high)];
}

/** Temperature (K) of a curve at a resistance (ohm). */
export function thermistorTemperature(curve: ThermistorCurve, resistance: number): number {
  return steinhartHartTemperature({ resistance, a: curve.a, b: curve.b, c: curve.c });
}

/**
 * Resistance (ohm) of a curve at a temperature (K), by Newton's method on ln R, which cannot fail where B and
 * C are positive. `undefined` where the curve has no such point.
 */
export function thermistorResistance(curve: ThermistorCurve, temperature: number): number | undefined {
  const { a, b, c } = curve;
  let logarithm = (1 / temperature - a) / b;
  for (let turn = 0; turn < 100; turn++) {
    const slope = b + 3 * c * logarithm ** 2;
    if (!(slope > 0)) return undefined;
    const step = (a + b * logarithm + c * logarithm ** 3 - 1 / temperature) / slope;
    logarithm -= step;
    if (Math.abs(step) < 1e-13 * Math.max(1, Math.abs(logarithm))) return Math.exp(logarithm);
  }
  return undefined;
}

/** Input voltage (V) of a thermistor at a temperature (K), pull-up (ohm) to the supply (V). */
export function thermistorVoltage(
  curve: ThermistorCurve,
  temperature: number,
  pullUp: number,
  supply: number,
): number | undefined {
  const resistance = thermistorResistance(curve, temperature);
  return resistance === undefined ? undefined : dividerVoltage({ resistance, pullUp, supply });
}

/**
 * Kelvin per converter step of `step` volts at a temperature (K). The resolution is poor at the hot end, where the
 * resistance is small against the pull-up.
 */
export function thermistorResolution(
  curve: ThermistorCurve,
  temperature: number,
  pullUp: number,
  supply: number,
  step: number,
): number | undefined {
  const resistance = thermistorResistance(curve, temperature);
  if (resistance === undefined) return undefined;
  return kelvinPerStep({ temperature, resistance, b: curve.b, c: curve.c, pullUp, supply, step });
}
