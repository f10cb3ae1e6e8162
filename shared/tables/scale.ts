import { maximumOf, minimumOf } from '../extremes.ts';

/** The two ends of a scale. */
export type Extent = readonly [low: number, high: number];

/** The lowest and the highest of some numbers. */
export const extentOf = (numbers: readonly number[]): [low: number, high: number] => [
  minimumOf(numbers),
  maximumOf(numbers),
];

/** Where a number lies between two ends, from 0 to 1; 0.5 if the ends are equal. */
export const shareOf = (number: number, [low, high]: Extent): number =>
  high > low ? (number - low) / (high - low) : 0.5;

/** Two ends with some space beyond each, so that a line does not run along the border. */
export function withMargin([low, high]: Extent): [low: number, high: number] {
  const margin = high > low ? (high - low) * 0.06 : Math.max(1, Math.abs(high) * 0.1);
  return [low - margin, high + margin];
}

/** `Engine speed, rpm` */
export const titleWithUnit = (label: string, unit: string): string =>
  unit === '' ? label : `${label}, ${unit}`;
