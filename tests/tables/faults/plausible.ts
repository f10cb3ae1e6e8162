/**
 * Plausible curves and maps, invented from a seed: the shapes, axes, rounding and scatter that calibrations have. They are
 * demo data, no advice.
 */
export type Random = () => number;

/** Numbers in 0..1 that are the same in every run (a linear congruential generator, its low bits dropped). */
export function seeded(seed: number): Random {
  let state = (Math.imul(seed, 2654435761) + 12345) >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state >>> 8) / 2 ** 24;
  };
}

/** Numbers as a file would write them. A curve has one row and no `y`. */
export interface Plausible {
  readonly quantity: Quantity;
  readonly style: Style;
  readonly x: readonly number[];
  readonly y: readonly number[] | undefined;
  readonly rows: readonly (readonly number[])[];
  readonly decimals: number;
}

/**
 * smooth: fine axes, one decimal more than needed; ridged: resonances, dips and knees; stepped: whole numbers and plateaus,
 * as written by hand; sparse: few breakpoints far apart; small: three or four a side; measured: scatter of cells and lines, one
 * point of filling and one step of what is chosen.
 */
export const STYLES = ['smooth', 'ridged', 'stepped', 'sparse', 'small', 'measured'] as const;
export type Style = (typeof STYLES)[number];

export const MAPS = ['filling', 'lambda', 'advance', 'boost', 'injection end'] as const;
export const CURVES = ['dead time', 'dwell', 'warm-up', 'cranking'] as const;
export type Quantity = (typeof MAPS)[number] | (typeof CURVES)[number];

/** A surface over 0..1 of speed (u), and load in its own unit (p). */
type Surface = (u: number, p: number) => number;

const between = (random: Random, low: number, high: number): number => low + (high - low) * random();
const whole = (random: Random, low: number, high: number): number =>
  Math.floor(between(random, low, high + 1));
const chance = (random: Random, share: number): boolean => random() < share;
const roundTo = (value: number, step: number): number => Math.round(value / step) * step;
const bump = (u: number, at: number, width: number): number => Math.exp(-(((u - at) / width) ** 2));
const ramp = (value: number, from: number, to: number): number =>
  Math.min(1, Math.max(0, (value - from) / (to - from)));
const soft = (t: number): number => t * t * (3 - 2 * t);

const SIZES: Readonly<Record<Style, readonly [number, number]>> = {
  smooth: [8, 20],
  ridged: [8, 16],
  stepped: [6, 12],
  sparse: [4, 6],
  small: [3, 4],
  measured: [7, 14],
};

/** Rising numbers from `from` to `to`: even, finer at the low end, or finer in the middle; each a multiple of `step`. */
function axis(random: Random, from: number, to: number, count: number, step: number): number[] {
  const kind = random();
  const place = (t: number): number => {
    if (kind < 0.5) return t;
    if (kind < 0.8) return t ** 1.3;
    return t + 0.06 * Math.sin(2 * Math.PI * t);
  };
  const points = Array.from({ length: count }, (_, i) =>
    roundTo(from + (to - from) * place(i / (count - 1)), step),
  );
  return points.every((point, i) => i === 0 || point > points[i - 1]!)
    ? points
    : Array.from({ length: count }, (_, i) => roundTo(from + ((to - from) * i) / (count - 1), step / 10));
}

/** A ridge or a hollow over speed, as runners and mufflers make them; at least `narrowest` wide. */
function resonance(random: Random, style: Style, height: number): (u: number) => number {
  if (style !== 'ridged') return () => 0;
  const [at, width] = [between(random, 0.25, 0.85), between(random, 0.1, 0.2)];
  const size = height * between(random, 0.3, 1) * (chance(random, 0.7) ? 1 : -1);
  return (u) => size * bump(u, at, width);
}

const SURFACES: Readonly<
  Record<(typeof MAPS)[number], (random: Random, style: Style, highest: number) => Surface>
> = {
  filling(random, style, highest) {
    const [full, residual] = [between(random, 80, 98), between(random, 4, 12)];
    const [peak, width, drop] = [
      between(random, 0.45, 0.8),
      between(random, 0.7, 1.1),
      between(random, 10, 25),
    ];
    const tuned = resonance(random, style, 8);
    const knee = style === 'ridged' && chance(random, 0.5) ? between(random, 0.5, 0.8) * highest : Infinity;
    return (u, p) => {
      const load = 1 - residual / (Math.min(p, knee) + residual * 0.4);
      const speed = 1 - (drop / 100) * Math.min(((u - peak) / width) ** 2, 1.5);
      return full * load * speed + tuned(u) * (0.4 + (0.6 * p) / highest);
    };
  },
  lambda(random, style, highest) {
    const lean = chance(random, 0.3) ? between(random, 0.02, 0.06) : 0;
    const rich = highest > 130 ? between(random, 0.78, 0.84) : between(random, 0.84, 0.9);
    const [from, to] = [between(random, 0.3, 0.55) * highest, between(random, 0.75, 1) * highest];
    const [slope, isSoft] = [between(random, 0, 0.03), chance(random, 0.5)];
    const island = style === 'ridged' ? between(random, 0, 0.05) : 0;
    return (u, p) => {
      const t = ramp(p, from, to);
      const cruise = lean * (1 - ramp(p, 0.3 * highest, 0.45 * highest));
      const middle = island * bump(u, 0.5, 0.25) * bump(p / highest, 0.3, 0.15);
      return 1 + cruise + middle - (1 - rich) * (isSoft ? soft(t) : t) - slope * u * t;
    };
  },
  advance(random, style, highest) {
    const [idle, cruise] = [between(random, 8, 18), between(random, 30, 40)];
    const [reach, fall] = [between(random, 0.35, 0.8), between(random, 12, 32)];
    const [plateau, bend] = [between(random, 0.1, 0.3) * highest, between(random, 0.8, 1.4)];
    const dip = style === 'ridged' ? between(random, 0, 4) : 0;
    const place = between(random, 0.4, 0.7);
    return (u, p) => {
      const speed = idle + (cruise - idle) * (1 - Math.exp(-u / (0.5 * reach)));
      const load = ramp(p, plateau, highest) ** bend;
      return speed - fall * load - dip * load * bump(u, place, 0.22);
    };
  },
  boost(random, style, highest) {
    const [closed, full] = [between(random, 35, 80), highest];
    const [reach, bend] = [between(random, 0.25, 0.5), between(random, 0.7, 1.3)];
    const [sag, flat] = [between(random, 0, 0.1), chance(random, 0.3) ? 0.15 : 0];
    const tuned = resonance(random, style, 6);
    return (u, p) => {
      const open = ramp(p, flat * 100, 100) ** bend;
      const spool = 1 - 0.25 * Math.exp(-u / (0.4 * reach)) - sag * Math.max(0, u - 0.75);
      return closed + (full * spool - closed + tuned(u)) * open;
    };
  },
  'injection end'(random) {
    const [base, speed, load] = [between(random, 340, 400), between(random, 10, 60), between(random, 5, 40)];
    const bend = between(random, 0.7, 1.3);
    return (u, p) => base + speed * u ** bend + (load * p) / 180;
  },
};

const STEPS: Readonly<Record<(typeof MAPS)[number], readonly [fine: number, coarse: number]>> = {
  filling: [0.1, 1],
  lambda: [0.005, 0.01],
  advance: [0.1, 1],
  boost: [0.5, 2],
  'injection end': [0.5, 5],
};

/** A sound map. */
export function plausibleMap(quantity: (typeof MAPS)[number], style: Style, seed: number): Plausible {
  const random = seeded(seed * 7 + STYLES.indexOf(style) * 101 + MAPS.indexOf(quantity) * 1009);
  const [least, most] = SIZES[style];
  const [columns, height] = [whole(random, least, most), whole(random, least, most)];
  const highest = quantity === 'boost' || chance(random, 0.6) ? whole(random, 14, 20) * 10 : 105;
  const [slow, fast] = [whole(random, 6, 12) * 100, whole(random, 50, 70) * 100];
  const x = axis(random, slow, fast, columns, 50);
  const y =
    quantity === 'boost'
      ? axis(random, 0, 100, height, 5)
      : axis(random, whole(random, 4, 6) * 5, highest, height, 5);
  const surface = SURFACES[quantity](random, style, highest);
  const [fine, coarse] = STEPS[quantity];
  const step = style === 'stepped' || style === 'small' ? coarse : fine;
  // Filling is measured; the others are chosen, and differ by a step where somebody adjusted them.
  const scatter = style !== 'measured' ? 0 : quantity === 'filling' ? 1 : step;
  const rows = y.map((p) => {
    const line = scatter * 0.5 * (2 * random() - 1);
    return x.map((speed) => {
      const value = surface((speed - slow) / (fast - slow), p);
      return roundTo(value + line + scatter * (2 * random() - 1), step);
    });
  });
  return { quantity, style, x, y, rows, decimals: decimalsOf(step) };
}

const decimalsOf = (step: number): number => (step >= 1 ? 0 : step === 0.005 ? 3 : step >= 0.1 ? 1 : 2);

/** A sound curve. */
export function plausibleCurve(quantity: (typeof CURVES)[number], style: Style, seed: number): Plausible {
  const random = seeded(seed * 11 + STYLES.indexOf(style) * 103 + CURVES.indexOf(quantity) * 1013);
  const count = style === 'small' ? whole(random, 3, 4) : whole(random, 5, style === 'smooth' ? 12 : 9);
  const isElectric = quantity === 'dead time' || quantity === 'dwell';
  const x = isElectric
    ? axis(random, whole(random, 6, 9), whole(random, 15, 17), count, style === 'smooth' ? 0.5 : 1)
    : axis(random, -10 * whole(random, 1, 3), 10 * whole(random, 6, 9), count, 5);
  const line = CURVE_LINES[quantity](random, x);
  const scatter = style === 'measured' ? 0.015 : 0;
  const step = CURVE_STEPS[quantity] * (style === 'stepped' ? 5 : 1);
  const values = x.map((at) => roundTo(line(at) * (1 + scatter * (2 * random() - 1)), step));
  const decimals = step >= 1 ? 0 : step >= 0.1 ? 1 : step >= 0.01 ? 2 : 3;
  return { quantity, style, x, y: undefined, rows: [values], decimals };
}

const CURVE_STEPS: Readonly<Record<(typeof CURVES)[number], number>> = {
  'dead time': 0.01,
  dwell: 0.02,
  'warm-up': 1,
  cranking: 0.2,
};

const CURVE_LINES: Readonly<
  Record<(typeof CURVES)[number], (random: Random, x: readonly number[]) => (at: number) => number>
> = {
  'dead time'(random) {
    const [size, power, rest] = [
      between(random, 0.7, 1.3),
      between(random, 1.2, 2),
      between(random, 0, 0.15),
    ];
    return (volts) => rest + size * (14 / volts) ** power;
  },
  dwell(random) {
    // The time to a current through a resistance and an inductance, L/R · ln(V / (V − I·R)).
    const [constant, drop] = [between(random, 4, 8), between(random, 3, 4.5)];
    const longest = chance(random, 0.25) ? between(random, 4, 6) : Infinity;
    return (volts) => Math.min(longest, constant * Math.log(volts / (volts - drop)));
  },
  'warm-up'(random, x) {
    const [most, bend, end] = [between(random, 40, 110), between(random, 1.2, 2.2), between(random, 60, 80)];
    return (at) => 100 + most * Math.max(0, (end - at) / (end - x[0]!)) ** bend;
  },
  cranking(random, x) {
    const [least, most, scale] = [between(random, 4, 8), between(random, 15, 35), between(random, 20, 40)];
    return (at) => least + most * Math.exp(-(at - x[0]!) / scale);
  },
};
