import { formula } from './formula.ts';
import { bore } from './terms.ts';

/**
 * Speed of sound in the burned gas, m/s: √(γ·R·T) with γ = 1.25, R = 287.05 J/(kg K) and 2500 K is 947 m/s.
 * Common practice takes 850 to 980 m/s; the true frequency is within about 10 % of the figure.
 */
export const SPEED_OF_SOUND_IN_BURNED_GAS = 950;

/**
 * First zero of the derivative of the Bessel function J₁: the mode that sloshes from side to side of the
 * bore.
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
    { symbol: 'a', value: SPEED_OF_SOUND_IN_BURNED_GAS, unit: 'm/s' },
  ],
  result: { symbol: 'f_k', label: 'knock frequency', unit: 'Hz', show: 'kHz' },
  sources: ['naca-493', 'burned-gas-sound'],
  compute: ({ bore }) => (FIRST_CIRCUMFERENTIAL_ZERO * SPEED_OF_SOUND_IN_BURNED_GAS) / (Math.PI * bore),
});
