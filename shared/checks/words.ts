import type { QuantityValue } from '../configuration/values.ts';
import {
  formatNumber,
  formatQuantity,
  formatStated,
  formatUnit,
  fromUnit,
  splitUnit,
  toUnit,
} from '../quantity/index.ts';

/** `112 %` */
export function percent(ratio: number, digits = 3): string {
  return formatQuantity(ratio, '%', digits);
}

/** A ratio in percent, with at least `digits` digits and enough to differ from the limit in the same sentence. */
export function percentBeside(ratio: number, limit: number, digits = 3): string {
  const text = percent(ratio, digits);
  return text === percent(limit) && digits < EXACT ? percentBeside(ratio, limit, digits + 1) : text;
}

/** A number with at least three digits and enough to differ from the limit in the same sentence. */
export function numberBeside(number: number, limit: number, digits = 3): string {
  const text = formatNumber(number, digits);
  return text === formatNumber(limit, digits) && digits < EXACT
    ? numberBeside(number, limit, digits + 1)
    : text;
}

/** Enough digits to distinguish any two ratios that matter. */
const EXACT = 9;

/** Two quantities of one sentence, with enough digits to differ. */
export function quantityPair(one: number, other: number, unit: string, digits = 3): [string, string] {
  const texts: [string, string] = [formatQuantity(one, unit, digits), formatQuantity(other, unit, digits)];
  const isAlike = texts[0] === texts[1] && one !== other && digits < EXACT;
  return isAlike ? quantityPair(one, other, unit, digits + 1) : texts;
}

/** `12800 ft`: a computed quantity with three significant digits, before the decimal point as well as after it. */
export function rounded(canonical: number, unit: string): string {
  return formatQuantity(fromUnit(Number(toUnit(canonical, unit).toPrecision(3)), unit), unit);
}

/** The unit of a value, as written: `kPa gauge`. */
export const unitTextOf = ({ quantity: { unit, reference } }: QuantityValue): string =>
  unit ? formatUnit(unit, reference) : '';

/** ` (37.8 deg)`: a value in the unit of what it is compared with; empty if it is written in that unit. */
export function inOtherUnit(canonical: number, written: string, wanted: string): string {
  const [from, to] = [written, wanted].map((text) => (text === '' ? undefined : splitUnit(text)));
  if (!from || !to) return '';
  const isSame = from.unit === to.unit && (to.reference ?? from.reference) === from.reference;
  return isSame ? '' : ` (${formatQuantity(canonical, wanted)})`;
}

/** A value as written, and in the unit of what it is compared with: `95 hp (70.8 kW)`. */
export const statedBeside = (value: QuantityValue, wanted: string, canonical = value.canonical): string =>
  value.node.text + inOtherUnit(canonical, unitTextOf(value), wanted);

/** `4 %`: how far a value is from its reference, as a relative change. */
export function difference(value: number, reference: number): string {
  return percent(Math.abs(value / reference - 1), 2);
}

/** A longer list makes a sentence unreadable. */
const MOST_LISTED = 12;

/** `a, b and c`, or `a, b and 70 more` */
export function listed(words: readonly string[], most = MOST_LISTED): string {
  const rest = words.length - most;
  if (rest > 0) return `${words.slice(0, most).join(', ')} and ${rest} more`;
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

export { formatNumber, formatQuantity, formatStated };

/** `8 bytes`, or `50 bits` if the bits are not whole bytes. */
export function dataText(bits: number): string {
  const [count, unit] = bits % 8 === 0 ? [bits / 8, 'byte'] : [bits, 'bit'];
  return `${formatNumber(count)} ${unit}${count === 1 ? '' : 's'}`;
}
