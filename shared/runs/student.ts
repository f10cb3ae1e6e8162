/**
 * Quantiles of Student's t distribution. Of the libraries on npm, jstat 1.9.6 is right to 6e-8, simple-statistics 7.12.1 has
 * none, and @stdlib/stats-base-dists-t-quantile 0.2.3 is right to 8e-16 but 188 kB long; this page of code is right to
 * 1e-12 (tests/runs/student.test.ts).
 */

/** Γ(a + ½) / Γ(a), by the asymptotic series of its logarithm, after raising `a` to where that is exact. */
function gammaRatio(a: number): number {
  let factor = 1;
  let at = a;
  for (; at < 30; at++) factor *= at / (at + 0.5);
  const series = -1 / (8 * at) + 1 / (192 * at ** 3) - 1 / (640 * at ** 5) + 17 / (14336 * at ** 7);
  return factor * Math.sqrt(at) * Math.exp(series);
}

const SMALLEST = 1e-300;
const PRECISION = 1e-16;
const MOST_TERMS = 100_000;

/** The continued fraction of the incomplete beta function, by Lentz's method. */
function betaFraction(a: number, b: number, x: number): number {
  const held = (value: number) => (Math.abs(value) < SMALLEST ? SMALLEST : value);
  let c = 1;
  let d = 1 / held(1 - ((a + b) * x) / (a + 1));
  let result = d;
  for (let m = 1; m < MOST_TERMS; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / held(1 + even * d);
    c = held(1 + even / c);
    result *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / held(1 + odd * d);
    c = held(1 + odd / c);
    const change = d * c;
    result *= change;
    if (Math.abs(change - 1) < PRECISION) break;
  }
  return result;
}

/** The probability that t with `degrees` degrees of freedom exceeds `t` ≥ 0. */
export function studentTail(t: number, degrees: number): number {
  const [a, b] = [degrees / 2, 0.5];
  const squares = t * t;
  const x = degrees / (degrees + squares);
  const rest = squares / (degrees + squares);
  const front =
    (gammaRatio(a) / Math.sqrt(Math.PI)) * Math.exp(a * -Math.log1p(squares / degrees)) * Math.sqrt(rest);
  return x < (a + 1) / (a + b + 2)
    ? (front * betaFraction(a, b, x)) / a / 2
    : 0.5 - (front * betaFraction(b, a, rest)) / b / 2;
}

/**
 * The number that t with `degrees` degrees of freedom (not necessarily whole) does not exceed with the probability `p`, from
 * 0.5 to 1. Infinite without degrees of freedom.
 */
export function studentQuantile(p: number, degrees: number): number {
  if (!(degrees > 0)) return Number.POSITIVE_INFINITY;
  if (p <= 0.5) return 0;
  const tail = 1 - p;
  let [low, high] = [0, 1];
  while (studentTail(high, degrees) > tail) [low, high] = [high, 2 * high];
  const density = (t: number) =>
    (gammaRatio(degrees / 2) / Math.sqrt(degrees * Math.PI)) *
    Math.exp((-(degrees + 1) / 2) * Math.log1p((t * t) / degrees));
  let t = (low + high) / 2;
  for (let i = 0; i < 200; i++) {
    const excess = studentTail(t, degrees) - tail;
    if (excess > 0) low = t;
    else high = t;
    const newton = t + excess / density(t);
    const next = newton > low && newton < high ? newton : (low + high) / 2;
    if (Math.abs(next - t) <= 1e-15 * t) return next;
    t = next;
  }
  return t;
}

const kept = new Map<number, number>();

/** Half the width of a 95 % interval in standard uncertainties: 1.96 for many degrees of freedom. */
export function halfWidth95(degrees: number): number {
  // A tenth of a degree of freedom more or less does not matter, and a few hundred numbers serve all bins and cells.
  const rounded = degrees > 1e5 ? 1e5 : degrees > 100 ? Math.round(degrees) : Math.round(degrees * 10) / 10;
  let found = kept.get(rounded);
  if (found === undefined) {
    found = studentQuantile(0.975, rounded);
    if (kept.size > 10_000) kept.clear();
    kept.set(rounded, found);
  }
  return found;
}
