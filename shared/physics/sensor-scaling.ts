import { formula } from './formula.ts';

/** One pair of a sensor's scaling: volts at the input, and the quantity's value in its canonical unit. */
export interface ScalingPoint {
  readonly input: number;
  readonly value: number;
}

/** The straight line through two points, also beyond them. */
export const linearScaling = formula({
  id: 'linear-scaling',
  title: 'Sensor scaling',
  expression: 'y₁ + (V − V₁) · (y₂ − y₁) / (V₂ − V₁)',
  terms: {
    input: { symbol: 'V', label: 'input', unit: 'V', valid: [-1, 30] },
    firstInput: { symbol: 'V₁', label: 'input at the first point', unit: 'V', valid: [-1, 30] },
    firstValue: { symbol: 'y₁', label: 'value at the first point', unit: '', valid: [-1e7, 1e7] },
    secondInput: { symbol: 'V₂', label: 'input at the second point', unit: 'V', valid: [-1, 30] },
    secondValue: { symbol: 'y₂', label: 'value at the second point', unit: '', valid: [-1e7, 1e7] },
  },
  result: { symbol: 'y', label: 'value', unit: '' },
  source: 'linear-scaling',
});

/** Volts of one step of an analog-to-digital converter. */
export const converterStep = formula({
  id: 'converter-step',
  title: 'Converter step',
  expression: 'ΔV / (2^n − 1)',
  terms: {
    span: { symbol: 'ΔV', label: 'input span', unit: 'V', valid: [0, 30] },
    bits: { symbol: 'n', label: 'resolution', unit: 'bit', valid: [1, 32] },
  },
  result: { symbol: 'δ', label: 'step', unit: 'V', show: 'mV' },
  source: 'linear-scaling',
});

/** Change of value that one converter step makes on the line between two points. */
export const unitsPerBit = formula({
  id: 'units-per-bit',
  title: 'Value per count',
  expression: '|y₂ − y₁| / (V₂ − V₁) · δ',
  terms: {
    first: { symbol: 'y₁', label: 'value at the lower point', unit: '', valid: [-1e7, 1e7] },
    second: { symbol: 'y₂', label: 'value at the upper point', unit: '', valid: [-1e7, 1e7] },
    low: { symbol: 'V₁', label: 'input at the lower point', unit: 'V', valid: [-1, 30] },
    high: { symbol: 'V₂', label: 'input at the upper point', unit: 'V', valid: [-1, 30] },
    step: { symbol: 'δ', label: 'converter step', unit: 'V', show: 'mV', valid: [0, 0.1] },
  },
  result: { symbol: 'Δy', label: 'value per count', unit: '' },
  source: 'linear-scaling',
});

/**
 * Value of a scaling at `input` (V): straight lines between its points, and the outer lines extended beyond
 * them, as a sensor behaves. `undefined` with fewer than two points or with two points at one voltage.
 */
export function scaledValue(points: readonly ScalingPoint[], input: number): number | undefined {
  const line = lineAt(points, input);
  if (!line) return undefined;
  const { first, second } = line;
  return linearScaling({
    input,
    firstInput: first.input,
    firstValue: first.value,
    secondInput: second.input,
    secondValue: second.value,
  });
}

/**
 * The values that an input can ever report: at 0 %, at each fault bound, and at 100 % of the input's range.
 */
export interface ScalingEndpoints {
  readonly atMinimum: number;
  readonly atLowerBound?: number;
  readonly atUpperBound?: number;
  readonly atMaximum: number;
}

/**
 * Values at both ends of `range` (V) and at the fault bounds (V); `undefined` where `scaledValue` has none.
 */
export function scalingEndpoints(
  points: readonly ScalingPoint[],
  range: readonly [low: number, high: number],
  faultBounds?: readonly [low: number, high: number],
): ScalingEndpoints | undefined {
  const atMinimum = scaledValue(points, range[0]);
  const atMaximum = scaledValue(points, range[1]);
  if (atMinimum === undefined || atMaximum === undefined) return undefined;
  if (!faultBounds) return { atMinimum, atMaximum };
  const atLowerBound = scaledValue(points, faultBounds[0])!;
  const atUpperBound = scaledValue(points, faultBounds[1])!;
  return { atMinimum, atLowerBound, atUpperBound, atMaximum };
}

/** Largest change of value per converter step of `step` volts: units per bit where the scaling is steepest. */
export function unitsPerStep(points: readonly ScalingPoint[], step: number): number | undefined {
  const line = steepestLine(points);
  if (!line) return undefined;
  const { first, second } = line;
  return unitsPerBit({
    first: first.value,
    second: second.value,
    low: first.input,
    high: second.input,
    step,
  });
}

/** Two neighbouring points of a scaling, the lower voltage first. */
export interface ScalingLine {
  readonly first: ScalingPoint;
  readonly second: ScalingPoint;
}

/**
 * The line that holds at an input (V): the outermost lines extend beyond the points. `undefined` where `scaledValue`
 * is.
 */
export function lineAt(points: readonly ScalingPoint[], input: number): ScalingLine | undefined {
  const lines = segments(points);
  return lines?.find(({ second }) => input <= second.input) ?? lines?.at(-1);
}

/** The steepest line, on which the converter resolves the quantity least. */
export function steepestLine(points: readonly ScalingPoint[]): ScalingLine | undefined {
  return segments(points)?.reduce((most, line) =>
    Math.abs(slope(line)) > Math.abs(slope(most)) ? line : most,
  );
}

function slope({ first, second }: ScalingLine): number {
  return (second.value - first.value) / (second.input - first.input);
}

function segments(points: readonly ScalingPoint[]): ScalingLine[] | undefined {
  const sorted = [...points].sort((a, b) => a.input - b.input);
  const lines = sorted.slice(1).map((second, i) => ({ first: sorted[i]!, second }));
  const usable = lines.length > 0 && lines.every(({ first, second }) => second.input > first.input);
  return usable ? lines : undefined;
}
