import { formula } from './formula.ts';

/* Distances from limits that depend on the state. */

const advance = { unit: 'deg', valid: [-90, 90] } as const;

/**
 * The highest usual advance (deg before top dead centre) of a charge, on gasoline. Lower for more manifold pressure
 * (Pa, absolute) and for a higher compression ratio.
 */
export const usualAdvance = formula({
  id: 'usual-advance',
  title: 'Highest usual advance for a charge',
  expression: 'α_0 − s_p · (p_m − p_0) / Δp − s_r · (r_c − r_0)',
  terms: {
    highest: { ...advance, symbol: 'α_0', label: 'highest usual advance at the reference' },
    boostStep: { ...advance, symbol: 's_p', label: 'reduction per step of pressure' },
    pressure: {
      symbol: 'p_m',
      label: 'manifold pressure',
      unit: 'Pa',
      show: 'kPa abs',
      valid: [1e4, 5e5],
    },
    compressionStep: { ...advance, symbol: 's_r', label: 'reduction per unit of compression ratio' },
    compressionRatio: { symbol: 'r_c', label: 'compression ratio', unit: '', valid: [4, 20] },
  },
  constants: [
    { symbol: 'p_0', value: 100e3, unit: 'Pa' },
    { symbol: 'Δp', value: 10e3, unit: 'Pa' },
    { symbol: 'r_0', value: 9, unit: '' },
  ],
  result: { symbol: 'α_u', label: 'highest usual advance', unit: 'deg' },
  source: 'usual-advance',
});

/** By how much (deg) a spark is earlier than another one. */
export const advanceDifference = formula({
  id: 'advance-difference',
  title: 'Difference of two advances',
  expression: 'α − α_u',
  terms: {
    advance: { ...advance, symbol: 'α', label: 'ignition advance' },
    from: { ...advance, symbol: 'α_u', label: 'advance to compare with' },
  },
  result: { symbol: 'δ', label: 'difference in advance', unit: 'deg' },
  source: 'definition',
});
