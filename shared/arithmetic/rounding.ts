/**
 * Directed rounding of doubles. ECMA-262 rounds `+ − · /` and the square root to the nearest double, so the exact
 * result is within half a unit in the last place. These functions return the largest double that is provably not above
 * the exact result. Rounding up is rounding down with the signs reversed.
 */

const EPSILON = 2 ** -53;
const STEP = EPSILON * (1 + 2 * EPSILON);

/**
 * The next double above or, for the very smallest numbers, the one after it.
 * Source: Rump, Zimmermann, Boldo and Melquiond, Computing predecessor and successor in rounding to nearest, BIT 49 (2009).
 */
export function nextUp(x: number): number {
  if (x === -Infinity) return -Number.MAX_VALUE;
  return x + (STEP * Math.abs(x) + Number.MIN_VALUE);
}

export function nextDown(x: number): number {
  return -nextUp(-x);
}

/**
 * At most a + b. The error of a rounded sum is computed exactly (Knuth's TwoSum), so an exact sum is not rounded down.
 */
export function sumBelow(a: number, b: number): number {
  const sum = a + b;
  if (!Number.isFinite(sum)) return overflowBelow(sum, Number.isFinite(a) && Number.isFinite(b));
  const rest = sum - a;
  const error = a - (sum - rest) + (b - rest);
  return error < 0 ? nextDown(sum) : sum;
}

/** At most a · b. Zero times infinity is zero, as interval multiplication requires. */
export function productBelow(a: number, b: number): number {
  if (a === 0 || b === 0) return 0;
  const product = a * b;
  if (!Number.isFinite(product)) return overflowBelow(product, Number.isFinite(a) && Number.isFinite(b));
  if (!hasExactError(a, b, product)) return nextDown(product);
  return productError(a, b, product) < 0 ? nextDown(product) : product;
}

/** At most a / b, for b other than zero. */
export function quotientBelow(a: number, b: number): number {
  if (a === 0) return 0;
  const quotient = a / b;
  if (!Number.isFinite(quotient)) return overflowBelow(quotient, Number.isFinite(a));
  if (!Number.isFinite(b)) return quotient < 0 || Object.is(quotient, -0) ? -Number.MIN_VALUE : 0;
  const product = quotient * b;
  if (!hasExactError(quotient, b, product) || Math.abs(a) < SMALLEST) return nextDown(quotient);
  // The sign of a − quotient · b is exact: the first subtraction is exact (Sterbenz), and the error is subtracted last.
  const rest = a - product - productError(quotient, b, product);
  if (rest === 0) return quotient;
  return rest < 0 === b > 0 ? nextDown(quotient) : quotient;
}

/** At most the square root of x, for x ≥ 0. */
export function rootBelow(x: number): number {
  const root = Math.sqrt(x);
  return rootExcess(root, x) > 0 ? nextDown(root) : root;
}

/** At least the square root of x. */
export function rootAbove(x: number): number {
  const root = Math.sqrt(x);
  return rootExcess(-root, x) > 0 ? nextUp(root) : root;
}

/** Positive if the magnitude of the root may be too large or, for a negative root, too small. */
function rootExcess(root: number, x: number): number {
  if (x === 0 || x === Infinity) return 0;
  const square = root * root;
  if (!hasExactError(root, root, square)) return 1;
  return Math.sign(root) * (square - x + productError(root, root, square));
}

/** The exact sum of finite numbers is finite even if it overflows. */
function overflowBelow(result: number, fromFinite: boolean): number {
  return result === Infinity && fromFinite ? Number.MAX_VALUE : result;
}

const SMALLEST = 1e-250;
const LARGEST = 1e290;

/** Whether Dekker's product neither overflows nor loses digits to underflow. */
function hasExactError(a: number, b: number, product: number): boolean {
  const size = Math.abs(product);
  return size > SMALLEST && size < 1e300 && Math.abs(a) < LARGEST && Math.abs(b) < LARGEST;
}

/** The exact difference between a · b and the rounded product. Source: Dekker, Numerische Mathematik 18 (1971). */
function productError(a: number, b: number, product: number): number {
  const [highA, highB] = [upperHalf(a), upperHalf(b)];
  const [lowA, lowB] = [a - highA, b - highB];
  return highA * highB - product + highA * lowB + lowA * highB + lowA * lowB;
}

/** The upper 26 bits of a double (Veltkamp). */
function upperHalf(x: number): number {
  const scaled = 134217729 * x;
  return scaled - (scaled - x);
}
