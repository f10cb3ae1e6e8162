import { formula } from './formula.ts';
import { cylinders, fuelMass, lambda } from './terms.ts';

const trim = { symbol: 'τ', label: 'cylinder trim', unit: '', show: '%', valid: [-0.5, 0.5] } as const;

const volumeFlow = { unit: 'm3/s', show: 'L/h', valid: [0, 1e-3] } as const;

/** Of all cylinders that an engine may have. */
const SUM = [-14, 14] as const;

/** Fuel (kg) of a cylinder with a trim (a share of the base fuel; negative removes fuel). */
export const trimmedFuelMass = formula({
  id: 'trimmed-fuel-mass',
  title: 'Fuel mass of a cylinder with a trim',
  expression: 'm_f · (1 + τ)',
  terms: { fuelMass, trim },
  result: { ...fuelMass, symbol: 'm_τ', label: 'fuel mass of the cylinder' },
  source: 'definition',
});

/** The sum of two trims. */
export const trimSum = formula({
  id: 'trim-sum',
  title: 'Sum of cylinder trims',
  expression: 'τ_1 + τ_2',
  terms: {
    first: { ...trim, symbol: 'τ_1', label: 'sum of the trims of the previous cylinders', valid: SUM },
    second: { ...trim, symbol: 'τ_2', label: 'trim of the next cylinder' },
  },
  result: { ...trim, symbol: 'Στ', label: 'sum of the trims', valid: SUM },
  source: 'definition',
});

/** Fuel flow (m³/s) of all cylinders with their trims, from the flow without them: the mean trim counts. */
export const trimmedFuelFlow = formula({
  id: 'trimmed-fuel-flow',
  title: 'Fuel flow with cylinder trims',
  expression: 'Q_f · (1 + Στ / z)',
  terms: {
    volumeFlow: { ...volumeFlow, symbol: 'Q_f', label: 'fuel flow without trims' },
    trims: { ...trim, symbol: 'Στ', label: 'sum of the trims', valid: SUM },
    cylinders,
  },
  result: { ...volumeFlow, symbol: 'Q_τ', label: 'fuel flow with trims' },
  source: 'definition',
});

/** Lambda of a cylinder with a trim, with as much air as in the others. */
export const trimmedLambda = formula({
  id: 'trimmed-lambda',
  title: 'Lambda of a cylinder with a trim',
  expression: 'λ / (1 + τ)',
  terms: { lambda, trim },
  result: { ...lambda, symbol: 'λ_τ', label: 'lambda of the cylinder' },
  source: 'definition',
});
