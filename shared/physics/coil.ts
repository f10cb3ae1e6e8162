import { formula } from './formula.ts';

const voltage = { symbol: 'V', label: 'battery voltage', unit: 'V', valid: [4, 30] } as const;
const resistance = { symbol: 'R', label: 'primary resistance', unit: 'ohm', valid: [0.05, 10] } as const;
const inductance = {
  symbol: 'L',
  label: 'primary inductance',
  unit: 'H',
  show: 'mH',
  valid: [1e-4, 0.1],
} as const;
const dwell = { symbol: 't_w', label: 'dwell', unit: 's', show: 'ms' } as const;
const current = { symbol: 'I', label: 'coil current', unit: 'A' } as const;

/**
 * Primary current (A) after a dwell (s) from rest. Constant inductance (H), no drop across the driver: the
 * true current is lower because the driver drops a volt, and higher once the core saturates.
 */
export const coilCurrent = formula({
  id: 'coil-current',
  title: 'Coil current',
  expression: 'V / R · (1 − exp(−t_w · R / L))',
  terms: { voltage, resistance, inductance, dwell: { ...dwell, valid: [0, 0.1] } },
  result: current,
  source: 'alexander-sec-7.6',
});

/** Energy (J) in the field of a coil (H) that carries a current (A). Not all of it reaches the spark. */
export const coilEnergy = formula({
  id: 'coil-energy',
  title: 'Energy stored in the coil',
  expression: 'L · I^2 / 2',
  terms: { inductance, current: { ...current, valid: [0, 50] } },
  result: { symbol: 'E', label: 'coil energy', unit: 'J', show: 'mJ' },
  source: 'alexander-sec-6.4',
});

/**
 * Dwell (s) for a primary current (A), the inverse of `coilCurrent`. Infinite if V/R does not exceed the current.
 */
export const dwellForCurrent = formula({
  id: 'dwell-for-current',
  title: 'Dwell for a coil current',
  expression: 'L / R · ln(1 / max(0, 1 − I · R / V))',
  terms: { voltage, resistance, inductance, current: { ...current, valid: [0, 50] } },
  result: dwell,
  source: 'alexander-sec-7.6',
});
