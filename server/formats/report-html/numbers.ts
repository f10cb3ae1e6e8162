import { maximumOf } from '../../../shared/extremes.ts';
import { formatQuantity, toUnit } from '../../../shared/quantity/index.ts';

/** A canonical number in a unit that is shown elsewhere, such as at the head of a column. */
export function numberText(canonical: number, unit: string, digits?: number): string {
  const text = formatQuantity(canonical, unit, digits);
  return unit === '' ? text : text.slice(0, -unit.length).trimEnd();
}

/**
 * Numbers of a right-aligned column, padded so that their decimal points align: with blanks as wide as a digit and as a
 * point. Other texts are left as they are.
 */
export function decimalPadding(texts: readonly string[]): (text: string) => string {
  const most = maximumOf([0, ...texts.map((text) => decimalsOf(text) ?? 0)]);
  return (text) => {
    const decimals = decimalsOf(text);
    if (decimals === undefined || decimals === most) return text;
    return text + (decimals === 0 ? POINT : '') + DIGIT.repeat(most - decimals);
  };
}

const [DIGIT, POINT] = ['\u2007', '\u2008'];

function decimalsOf(text: string): number | undefined {
  const match = /^[+-]?\d+(?:\.(\d+))?$/.exec(text);
  return match ? (match[1]?.length ?? 0) : undefined;
}

/** A canonical number in the unit of an axis or of cells; the unit may be empty. */
export function numberIn(canonical: number, unit: string): number {
  return unit === '' ? canonical : toUnit(canonical, unit);
}
