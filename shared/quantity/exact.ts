/** A rational number: `top / bottom`, with a bottom above zero. Not reduced. */
export interface Ratio {
  readonly top: bigint;
  readonly bottom: bigint;
}

export const ZERO: Ratio = { top: 0n, bottom: 1n };

/**
 * The number that a decimal text states, exactly: `2.675` is 2675/1000 and not its binary neighbour. Also reads the
 * whole numbers `0x1F` and `0o17` of YAML. Undefined for any other text.
 */
export function exactNumber(text: string): Ratio | undefined {
  if (/^0(?:x[\da-f]+|o[0-7]+)$/i.test(text)) return { top: BigInt(text.toLowerCase()), bottom: 1n };
  const [, sign, whole = '', fraction = '', exponent = '0'] =
    /^([-+]?)(\d*)\.?(\d*)(?:e([-+]?\d+))?$/i.exec(text) ?? [];
  if (sign === undefined || whole + fraction === '') return undefined;
  const digits = BigInt(whole + fraction);
  // The power of ten of `0e999999999` must not be computed.
  if (digits === 0n || Number(text) === 0) return ZERO;
  if (!Number.isFinite(Number(text))) return undefined;
  const power = Number(exponent) - fraction.length;
  const top = sign === '-' ? -digits : digits;
  return power < 0 ? { top, bottom: 10n ** BigInt(-power) } : { top: top * 10n ** BigInt(power), bottom: 1n };
}

/** A number by its shortest decimal text: 0.1 is one tenth. The number must be finite. */
export const exactOf = (number: number): Ratio => exactNumber(String(number)) ?? ZERO;

/** A binary number, exactly: 0.1 is slightly above one tenth. The number must be finite. */
export function exactDouble(number: number): Ratio {
  let [top, bottom] = [number, 1n];
  while (!Number.isInteger(top)) {
    top *= 2;
    bottom *= 2n;
  }
  return { top: BigInt(top), bottom };
}

export const plus = (a: Ratio, b: Ratio): Ratio => ({
  top: a.top * b.bottom + b.top * a.bottom,
  bottom: a.bottom * b.bottom,
});

export const minus = (a: Ratio, b: Ratio): Ratio => plus(a, { top: -b.top, bottom: b.bottom });

export const times = (a: Ratio, b: Ratio): Ratio => ({ top: a.top * b.top, bottom: a.bottom * b.bottom });

/** The divisor must not be zero. */
export function over(a: Ratio, b: Ratio): Ratio {
  const [top, bottom] = [a.top * b.bottom, a.bottom * b.top];
  return bottom < 0n ? { top: -top, bottom: -bottom } : { top, bottom };
}

/** The same number with the smallest terms, for numbers that are used often. */
export function reduced({ top, bottom }: Ratio): Ratio {
  let [a, b] = [top < 0n ? -top : top, bottom];
  while (b > 0n) [a, b] = [b, a % b];
  return a > 1n ? { top: top / a, bottom: bottom / a } : { top, bottom };
}

/** The nearest whole number; halves are rounded away from zero. */
export function nearestWhole({ top, bottom }: Ratio): bigint {
  const size = top < 0n ? -top : top;
  const rounded = (2n * size + bottom) / (2n * bottom);
  return top < 0n ? -rounded : rounded;
}

/** A format of IEEE 754: the bits of the significand and the lowest exponent of its last bit. */
interface BinaryFormat {
  readonly bits: number;
  readonly lowest: number;
  readonly highest: number;
}

export const BINARY64: BinaryFormat = { bits: 53, lowest: -1074, highest: Number.MAX_VALUE };
/** The largest finite number. Source: IEEE 754, binary32: (2 − 2⁻²³) · 2¹²⁷. */
export const BINARY32: BinaryFormat = { bits: 24, lowest: -149, highest: (2 - 2 ** -23) * 2 ** 127 };

/** The nearest number of the format, halves to even; infinite if it is beyond the highest. Rounds once. */
export function nearestBinary({ top, bottom }: Ratio, { bits, lowest, highest }: BinaryFormat): number {
  if (top === 0n) return 0;
  const size = top < 0n ? -top : top;
  // The quotient by this power of two has `bits` or one more binary digits.
  const power = Math.max(bitLength(size) - bitLength(bottom) - bits, lowest);
  const scaled = (by: number): readonly [bigint, bigint] =>
    by >= 0 ? [size, bottom << BigInt(by)] : [size << BigInt(-by), bottom];
  let [a, b] = scaled(power);
  let exponent = power;
  if (a / b >= 1n << BigInt(bits)) {
    exponent++;
    [a, b] = scaled(exponent);
  }
  const rest = a % b;
  let whole = a / b;
  if (2n * rest > b || (2n * rest === b && whole % 2n === 1n)) whole += 1n;
  // Two exact factors, because the power of two alone may be below the least number.
  const number = Number(whole) * 2 ** Math.max(exponent, -1000) * 2 ** Math.min(0, exponent + 1000);
  const held = number > highest ? Infinity : number;
  // Not the zero that is below zero.
  return (top < 0n ? -held : held) + 0;
}

const bitLength = (number: bigint): number => number.toString(2).length;

export const nearestDouble = (ratio: Ratio): number => nearestBinary(ratio, BINARY64);

/** The decimal text with this many decimals; halves are rounded away from zero, and zero has no sign. */
export function decimalText(ratio: Ratio, decimals: number): string {
  const scaled = nearestWhole(times(ratio, { top: 10n ** BigInt(decimals), bottom: 1n }));
  const digits = (scaled < 0n ? -scaled : scaled).toString().padStart(decimals + 1, '0');
  const point = digits.length - decimals;
  const sign = scaled < 0n ? '-' : '';
  return decimals === 0 ? sign + digits : `${sign}${digits.slice(0, point)}.${digits.slice(point)}`;
}

/** The first of these decimal texts, from `least` to `most` decimals, that is good enough; undefined if none is. */
export function decimalTextUntil(
  ratio: Ratio,
  least: number,
  most: number,
  isEnough: (text: string) => boolean,
): string | undefined {
  for (let decimals = least; decimals <= most; decimals++) {
    const text = decimalText(ratio, decimals);
    if (isEnough(text)) return text;
  }
  return undefined;
}

/** Whether a decimal text states a number exactly. */
export function states(text: string, number: Ratio): boolean {
  const stated = exactNumber(text);
  return stated !== undefined && minus(stated, number).top === 0n;
}
