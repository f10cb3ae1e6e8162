import { scaleLinear } from 'd3-scale';
import { interpolateCividis, interpolatePuOr } from 'd3-scale-chromatic';
import { type Extent, extentOf, shareOf, titleWithUnit } from '../../../shared/tables/scale.ts';
import type { AxisView, TableView } from '../../../shared/tables/view.ts';

/** How numbers are painted. */
export interface Palette {
  readonly extent: Extent;
  /** A colour as `rgb(1, 2, 3)`. */
  colour(number: number): string;
}

/** Cividis: perceptually even, and readable with every kind of colour vision. */
export function valuePalette(view: TableView): Palette {
  const extent = extentOf(view.numbers.flat());
  return { extent, colour: (number) => interpolateCividis(shareOf(number, extent)) };
}

/**
 * From the background to purple below zero and to orange above, distinct with every kind of colour vision; what did not change
 * has no colour of its own.
 */
export function differencePalette(view: TableView, background: string): Palette {
  const extent = extentOf(view.numbers.flat());
  const most = Math.max(Math.abs(extent[0]), Math.abs(extent[1]));
  const [below, above] = [interpolatePuOr(0.92), interpolatePuOr(0.14)];
  return {
    extent,
    colour: (number) => mixed(background, number < 0 ? below : above, most > 0 ? Math.abs(number) / most : 0),
  };
}

const channelsOf = (colour: string): number[] => (colour.match(/[\d.]+/g) ?? []).slice(0, 3).map(Number);

/** A colour between two, the second with this share. */
function mixed(first: string, second: string, share: number): string {
  const other = channelsOf(second);
  return `rgb(${channelsOf(first)
    .map((channel, i) => Math.round(channel + share * (other[i]! - channel)))
    .join(', ')})`;
}

/**
 * Black or white, whichever has the greater contrast to a colour; that contrast is at least 4.58 to 1. Relative luminance as in
 * WCAG 2.2.
 */
export function textOn(colour: string): string {
  const [red, green, blue] = channelsOf(colour).map((channel) => {
    const share = channel / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  const luminance = 0.2126 * red! + 0.7152 * green! + 0.0722 * blue!;
  return (luminance + 0.05) ** 2 > 1.05 * 0.05 ? 'black' : 'white';
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
