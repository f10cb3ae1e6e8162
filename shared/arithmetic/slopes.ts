import { type Arithmetic, numbers } from './expression.ts';

/** A number with its derivatives with respect to some inputs; undefined means zero. */
export interface SlopedNumber {
  readonly value: number;
  readonly slopes: readonly (number | undefined)[];
}

/** The derivatives of a function of one operand, by the chain rule. */
const chain = (value: number, { slopes }: SlopedNumber, by: number): SlopedNumber => ({
  value,
  slopes: slopes.map((slope) => (slope === undefined ? undefined : slope * by)),
});

/** The derivatives of a function of two operands: the sum of those through each. */
function both(value: number, a: SlopedNumber, byA: number, b: SlopedNumber, byB: number): SlopedNumber {
  // A derivative that no slope is multiplied by may be infinite or no number.
  if (b.slopes.length === 0) return chain(value, a, byA);
  if (a.slopes.length === 0) return chain(value, b, byB);
  const [left, right] = [chain(value, a, byA).slopes, chain(value, b, byB).slopes];
  const sum = (x: number | undefined, y: number | undefined) =>
    x === undefined || y === undefined ? (x ?? y) : x + y;
  return { value, slopes: left.map((slope, i) => sum(slope, right[i])) };
}

const chosenOf = (value: number, { slopes }: SlopedNumber): SlopedNumber => ({ value, slopes });

/** Numbers with exact derivatives (forward mode). At a kink of `min`, `max` or `|…|`, the derivative is that of one side. */
export const numberSlopes: Arithmetic<SlopedNumber> = {
  constant: (decimal) => ({ value: decimal, slopes: [] }),
  negate: (a) => chain(-a.value, a, -1),
  exp(a) {
    const value = numbers.exp(a.value);
    return chain(value, a, value);
  },
  ln: (a) => chain(numbers.ln(a.value), a, 1 / a.value),
  root(a) {
    const value = numbers.root(a.value);
    return chain(value, a, 1 / (2 * value));
  },
  absolute: (a) => (a.value < 0 ? chain(-a.value, a, -1) : a),
  floor: (a) => chain(numbers.floor(a.value), a, 0),
  add: (a, b) => both(a.value + b.value, a, 1, b, 1),
  subtract: (a, b) => both(a.value - b.value, a, 1, b, -1),
  multiply: (a, b) => both(a.value * b.value, a, b.value, b, a.value),
  divide(a, b) {
    const value = a.value / b.value;
    return both(value, a, 1 / b.value, b, -value / b.value);
  },
  power(a, b) {
    const value = a.value ** b.value;
    return both(value, a, b.value * a.value ** (b.value - 1), b, value * Math.log(a.value));
  },
  minimum: (a, b) => chosenOf(Math.min(a.value, b.value), a.value < b.value ? a : b),
  maximum: (a, b) => chosenOf(Math.max(a.value, b.value), a.value < b.value ? b : a),
};
