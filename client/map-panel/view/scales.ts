import { scaleLinear } from 'd3-scale';
import { interpolateCividis } from 'd3-scale-chromatic';
import type { AxisView, TableView } from '../../../shared/tables/view.ts';

/** The least and the greatest number of a table. */
export function extentOf({ numbers }: TableView): [number, number] {
  const all = numbers.flat();
  return [Math.min(...all), Math.max(...all)];
}

/** Where a number stands between two ends, 0 to 1; in the middle where the ends are one. */
export function shareOf(number: number, [low, high]: readonly [number, number]): number {
  return high > low ? (number - low) / (high - low) : 0.5;
}

/** Cividis: even to the eye, and the same with every kind of colour vision. */
export const colourOf = (share: number): string => interpolateCividis(share);

/** About `count` round numbers between two ends, printed with as many digits as tell them apart. */
export function roundSteps(
  [low, high]: readonly [number, number],
  count: number,
): { at: number; text: string }[] {
  if (!(high > low)) return [];
  const scale = scaleLinear([low, high], [0, 1]);
  const print = scale.tickFormat(count);
  return scale.ticks(count).map((at) => ({ at, text: print(at).replace(/[,]/g, '') }));
}

/** The stretch of an axis that is drawn: its breakpoints, and whatever else stands on it. */
export function domainOf(axis: AxisView, others: readonly number[]): [number, number] {
  const all = [...axis.points, ...others];
  return [Math.min(...all), Math.max(...all)];
}

export const withUnit = (text: string, unit: string): string => (unit === '' ? text : `${text} ${unit}`);

/** `Engine speed, rpm` */
export const axisTitle = ({ label, unit }: AxisView): string => (unit === '' ? label : `${label}, ${unit}`);

/** A number for a label, in few digits. */
export const short = (number: number): string => String(Number(number.toPrecision(4)));
