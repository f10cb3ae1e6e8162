import { formula } from './formula.ts';

const ICE_POINT = 273.15;
const A = 3.9083e-3;
const B = -5.775e-7;
const C = -4.183e-12;

/** Range of the platinum curve, K (−200..850 °C). Source: IEC 60751. */
export const rtdRange: readonly [low: number, high: number] = [73.15, 1123.15];

/** Resistance (ohm) of a platinum element at a temperature (K); `resistanceAtZero` is 100 ohm for a Pt100. */
export const rtdResistance = formula({
  id: 'rtd-resistance',
  title: 'Platinum resistance (Callendar–Van Dusen)',
  expression: 'R₀ · (1 + A · (T − T₀) + B · (T − T₀)^2 + C · (T − T₁₀₀) · min(T − T₀, 0)^3)',
  terms: {
    resistanceAtZero: { symbol: 'R₀', label: 'resistance at 0 °C', unit: 'ohm', valid: [1, 1e4] },
    temperature: { symbol: 'T', label: 'temperature', unit: 'K', show: '°C', valid: rtdRange },
  },
  constants: [
    { symbol: 'A', value: A, unit: '1/K' },
    { symbol: 'B', value: B, unit: '1/K²' },
    { symbol: 'C', value: C, unit: '1/K⁴' },
    // Shown on the scale of the temperature that they are subtracted from: `100 °C − 0 °C`, not `100 °C − 273.15 K`.
    { symbol: 'T₀', value: ICE_POINT, unit: '°C' },
    { symbol: 'T₁₀₀', value: ICE_POINT + 100, unit: '°C' },
  ],
  result: { symbol: 'R', label: 'resistance', unit: 'ohm' },
  source: 'iec-60751',
});

/**
 * Temperature (K) of a platinum element from its resistance and its resistance at 0 °C (ohm): solved exactly
 * above 0 °C, by Newton's method below. `undefined` outside −200..850 °C. Source: IEC 60751.
 */
export function rtdTemperature(resistance: number, resistanceAtZero: number): number | undefined {
  const ratio = resistance / resistanceAtZero;
  const slack = 1e-12;
  const low = rtdRange[0] - ICE_POINT;
  if (!(ratio >= ratioAt(low) - slack)) return undefined;
  if (!(ratio <= ratioAt(rtdRange[1] - ICE_POINT) + slack)) return undefined;
  let t = (-A + Math.sqrt(A * A - 4 * B * (1 - ratio))) / (2 * B);
  if (ratio < 1) {
    for (let step = Number.POSITIVE_INFINITY, turns = 0; Math.abs(step) > 1e-10 && turns < 20; turns++) {
      step = (ratioAt(t) - ratio) / (A + 2 * B * t + C * (4 * t - 300) * t * t);
      t -= step;
    }
  }
  return t + ICE_POINT;
}

function ratioAt(t: number): number {
  return 1 + A * t + B * t * t + (t < 0 ? C * (t - 100) * t ** 3 : 0);
}
