import { scaleLinear } from 'd3-scale';
import { interpolateCividis, interpolatePuOr } from 'd3-scale-chromatic';
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

/** How numbers are painted: a colour, and a bar of which start and size are shares of its room. */
export interface Palette {
  readonly extent: readonly [number, number];
  colour(number: number): string;
  bar(number: number): { readonly start: number; readonly size: number };
}

/** Cividis: even to the eye, and the same with every kind of colour vision. Bars grow from the least to the greatest. */
export function valuePalette(view: TableView): Palette {
  const extent = extentOf(view);
  return {
    extent,
    colour: (number) => interpolateCividis(shareOf(number, extent)),
    bar: (number) => {
      const size = Math.max(0.04, shareOf(number, extent));
      return { start: 1 - size, size };
    },
  };
}

/** From purple over white to orange, which no colour vision confuses. Bars grow from the middle to either side. */
export function differencePalette(view: TableView): Palette {
  const extent = extentOf(view);
  const most = Math.max(Math.abs(extent[0]), Math.abs(extent[1]));
  return {
    extent,
    colour: (number) => interpolatePuOr(most > 0 ? 0.5 + (0.42 * number) / most : 0.5),
    bar: (number) => {
      const size = most > 0 ? Math.abs(number) / most / 2 : 0;
      return { start: number < 0 ? 0.5 - size : 0.5, size };
    },
  };
}

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
