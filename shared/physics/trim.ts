import { formula } from './formula.ts';
import { fuelMass, lambda } from './terms.ts';

const trim = { symbol: 'τ', label: 'cylinder trim', unit: '', show: '%', valid: [-0.5, 0.5] } as const;

/** Fuel (kg) of a cylinder with a trim (a share of the base fuel; negative removes fuel). */
export const trimmedFuelMass = formula({
  id: 'trimmed-fuel-mass',
  title: 'Fuel mass of a cylinder with a trim',
  expression: 'm_f · (1 + τ)',
  terms: { fuelMass, trim },
  result: { ...fuelMass, symbol: 'm_τ', label: 'fuel mass of the cylinder' },
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
