import { formula } from './formula.ts';

const TEETH = { symbol: 'z', label: 'teeth, including missing ones', unit: '', valid: [2, 720] as const };
const MISSING = { symbol: 'm', label: 'missing teeth', unit: '', valid: [0, 10] as const };
const SPEED = { symbol: 'n', label: 'crank speed', unit: 'rpm', valid: [10, 30000] as const };

/** Crank degrees from one tooth to the next. */
export const degreesPerTooth = formula({
  id: 'degrees-per-tooth',
  title: 'Degrees per tooth',
  expression: '360 / z',
  terms: { teeth: TEETH },
  result: { symbol: 'θ', label: 'degrees per tooth', unit: 'deg' },
  source: 'toothed-wheel',
});

/** Edges per second between neighbouring teeth, one edge per tooth: the rate that the input must follow. */
export const edgesPerSecond = formula({
  id: 'edges-per-second',
  title: 'Edges per second',
  expression: 'z · n / 60',
  terms: { teeth: TEETH, speed: SPEED },
  result: { symbol: 'f', label: 'edges per second', unit: 'Hz' },
  source: 'toothed-wheel',
});

/** Time from the last tooth before the gap to the first one after it. */
export const gapDuration = formula({
  id: 'gap-duration',
  title: 'Gap duration',
  expression: '(m + 1) · 60 / (z · n)',
  terms: { teeth: TEETH, missing: MISSING, speed: SPEED },
  result: { symbol: 'τ', label: 'gap duration', unit: 's', show: 'ms' },
  source: 'toothed-wheel',
});

/** Start of the gap: crank degrees before top dead centre of the last tooth ahead of it; multiples of 360 make no difference. */
export const gapStart = formula({
  id: 'gap-start',
  title: 'Gap start before top dead centre',
  expression: 'φ + (m + 1) · 360 / z',
  terms: {
    firstTooth: {
      symbol: 'φ',
      label: 'first tooth after the gap, before top dead centre',
      unit: 'deg',
      valid: [-360, 360],
    },
    teeth: TEETH,
    missing: MISSING,
  },
  result: { symbol: 'γ', label: 'gap start', unit: 'deg' },
  source: 'toothed-wheel',
});

/**
 * Longest time from the first movement to a known crank position. The gap is recognised by comparing its length with the
 * tooth interval before it, so two teeth must pass before it; a start one tooth too late costs another revolution.
 */
export const timeToSync = formula({
  id: 'time-to-sync',
  title: 'Longest time to first synchronisation',
  expression: '(1 + (m + 2) / z) · 60 / n',
  terms: {
    teeth: TEETH,
    missing: { ...MISSING, valid: [1, 10] },
    speed: { ...SPEED, label: 'cranking speed' },
  },
  result: { symbol: 't', label: 'time to synchronisation', unit: 's' },
  source: 'toothed-wheel',
});
