import { scaleLinear } from 'd3-scale';
import { interpolateCividis, interpolatePuOr } from 'd3-scale-chromatic';
import { type Extent, extentOf, shareOf, titleWithUnit } from '../../../shared/tables/scale.ts';
import type { AxisView, TableView } from '../../../shared/tables/view.ts';

/** How numbers are painted: a colour, and a bar whose start and size are shares of the space for it. */
export interface Palette {
  readonly extent: Extent;
  colour(number: number): string;
  bar(number: number): { readonly start: number; readonly size: number };
}

/** Cividis: perceptually even, and readable with every kind of colour vision. Bars grow from the lowest value to the highest. */
export function valuePalette(view: TableView): Palette {
  const extent = extentOf(view.numbers.flat());
  return {
    extent,
    colour: (number) => interpolateCividis(shareOf(number, extent)),
    bar: (number) => {
      const size = Math.max(0.04, shareOf(number, extent));
      return { start: 1 - size, size };
    },
  };
}

/** Purple through white to orange, distinct with every kind of colour vision. Bars grow from the middle to either side. */
export function differencePalette(view: TableView): Palette {
  const extent = extentOf(view.numbers.flat());
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

/** About `count` round numbers between two ends, printed with enough digits to tell them apart. */
export function roundSteps([low, high]: Extent, count: number): { at: number; text: string }[] {
  if (!(high > low)) return [];
  const scale = scaleLinear([low, high], [0, 1]);
  const print = scale.tickFormat(count);
  return scale.ticks(count).map((at) => ({ at, text: print(at).replace(/[,]/g, '') }));
}

/** The part of an axis that is drawn: from the lowest to the highest of its breakpoints and of what is drawn on it. */
export const domainOf = (axis: AxisView, others: readonly number[]): Extent =>
  extentOf([...axis.points, ...others]);

export const withUnit = (text: string, unit: string): string => (unit === '' ? text : `${text} ${unit}`);

/** `Engine speed, rpm` */
export const axisTitle = ({ label, unit }: Pick<AxisView, 'label' | 'unit'>): string =>
  titleWithUnit(label, unit);

/** A number for a label, to four significant digits. */
export const short = (number: number): string => String(Number(number.toPrecision(4)));
