import { maximumOf, minimumOf } from '../extremes.ts';
import { formatNumber } from './format.ts';
import { fromCanonical } from './unit.ts';
import { splitUnit } from './unit-text.ts';

/** Formats one number of a column or of a pair. */
export type ColumnFormat = (x: number) => string;

/** Beyond these powers of ten a number takes an exponent, see `formatNumber`. */
const [SMALLEST, LARGEST] = [1e-4, 1e7];

/**
 * Formats numbers that are read together with the same count of decimals, so that they align: `digits` significant ones
 * for the smallest number, unless that gives the largest more than one extra digit, but always at least two. Decimals
 * that are zero in all numbers are dropped. Numbers that differ too much in size are formatted individually.
 */
export function columnFormat(numbers: readonly number[], digits = 3): ColumnFormat {
  const oneByOne: ColumnFormat = (x) => formatNumber(x, digits);
  const sizes = numbers.filter((x) => Number.isFinite(x) && x !== 0).map(Math.abs);
  if (sizes.length === 0) return oneByOne;
  const [low, high] = [minimumOf(sizes), maximumOf(sizes)];
  if (low < SMALLEST || high >= LARGEST || high / low > LARGEST_RATIO) return oneByOne;
  const few = decimalsFor(low, Math.min(2, digits));
  const decimals = Math.max(few, Math.min(decimalsFor(low, digits), decimalsFor(high, digits + 1)));
  const zeros = Math.min(...sizes.map((size) => zerosAtEnd(size.toFixed(decimals))));
  const kept = zeros >= decimals ? 0 : decimals - zeros;
  return (x) => (Number.isFinite(x) ? withoutMinusZero(x.toFixed(kept)) : formatNumber(x, digits));
}

const LARGEST_RATIO = 1e4;

/** The decimals that a number needs for this many significant digits. */
const decimalsFor = (size: number, digits: number): number =>
  Math.max(0, digits - 1 - Math.floor(Math.log10(size)));

const zerosAtEnd = (text: string): number => (text.includes('.') ? /0*$/.exec(text)![0].length : 0);

const withoutMinusZero = (text: string): string => (/^-0(\.0+)?$/.test(text) ? text.slice(1) : text);

/** The same for canonical numbers that are shown in one unit, without the unit. */
export function columnInUnit(canonicals: readonly number[], unitText: string, digits = 3): ColumnFormat {
  const unit = splitUnit(unitText)?.unit;
  const read = (canonical: number): number => {
    const number = unit ? fromCanonical(canonical, unit) : canonical;
    // 273.15 K − 273.15 K may leave 6e-14 through rounding, which is not a temperature.
    return unit?.offset ? Number(number.toFixed(9)) : number;
  };
  const format = columnFormat(canonicals.map(read), digits);
  return (canonical) => format(read(canonical));
}

/** The same, each number with its unit: `46.0 %` above `8.5 %`. */
export function quantityColumn(canonicals: readonly number[], unitText: string, digits = 3): ColumnFormat {
  const format = columnInUnit(canonicals, unitText, digits);
  return (canonical) => `${format(canonical)} ${unitText}`.trimEnd();
}
