import { formula } from './formula.ts';
import { bore, speed } from './terms.ts';

/**
 * Speed of sound in the burned gas, m/s: √(γ·R·T) with γ = 1.25, R = 287.05 J/(kg K) and 2500 K is 947 m/s.
 * Common practice uses 850 to 980 m/s; the true frequency is within about 10 % of the result.
 */
export const SPEED_OF_SOUND_IN_BURNED_GAS = 950;

/**
 * First zero of the derivative of the Bessel function J₁: the mode in which the gas oscillates from side to side of
 * the bore.
 */
const FIRST_CIRCUMFERENTIAL_ZERO = 1.8411837813;

/**
 * Frequency (Hz) of the first circumferential resonance of the gas in a bore (m). Draper, NACA Report 493.
 */
export const knockFrequency = formula({
  id: 'knock-frequency',
  title: 'Knock frequency, first circumferential mode',
  expression: 'ζ · a / (π · B)',
  terms: { bore },
  constants: [
    { symbol: 'ζ', value: FIRST_CIRCUMFERENTIAL_ZERO, unit: '' },
    { symbol: 'a', value: SPEED_OF_SOUND_IN_BURNED_GAS, unit: 'm/s', source: 'burned-gas-sound' },
  ],
  result: { symbol: 'f_k', label: 'knock frequency', unit: 'Hz', show: 'kHz' },
  source: 'naca-493',
});

const angle = { unit: 'deg', valid: [-180, 360] } as const;

/** Crank angle (deg) over which the controller evaluates the knock sensor; both ends after top dead centre. */
export const knockWindowWidth = formula({
  id: 'knock-window-width',
  title: 'Knock window width',
  expression: 'φ₂ − φ₁',
  terms: {
    from: { symbol: 'φ₁', label: 'window start', ...angle },
    to: { symbol: 'φ₂', label: 'window end', ...angle },
  },
  result: { symbol: 'Δφ', label: 'window width', unit: 'deg' },
  source: 'definition',
});

/** Time (s) in which the crank turns through the window. */
export const knockWindowTime = formula({
  id: 'knock-window-time',
  title: 'Knock window duration',
  expression: 'Δφ / (6 · n)',
  terms: { width: { symbol: 'Δφ', label: 'window width', unit: 'deg', valid: [0, 360] }, speed },
  result: { symbol: 't', label: 'window duration', unit: 's', show: 'ms' },
  source: 'crank',
});
