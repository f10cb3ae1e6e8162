import { formula } from './formula.ts';

const RESISTANCE = {
  symbol: 'R',
  label: 'sensor resistance',
  unit: 'ohm',
  show: 'kohm',
  valid: [1, 1e7],
} as const;
const PULL_UP = { symbol: 'Rₚ', label: 'pull-up', unit: 'ohm', show: 'kohm', valid: [10, 1e6] } as const;
const SUPPLY = { symbol: 'Vₛ', label: 'supply', unit: 'V', valid: [1, 30] } as const;
const INPUT = { symbol: 'V', label: 'input voltage', unit: 'V', valid: [0, 30] } as const;

/** Voltage at an input with a pull-up to the supply and a sensor to ground. */
export const dividerVoltage = formula({
  id: 'divider-voltage',
  title: 'Divider voltage',
  expression: 'Vₛ · R / (R + Rₚ)',
  terms: { resistance: RESISTANCE, pullUp: PULL_UP, supply: SUPPLY },
  result: INPUT,
  source: 'alexander-sec-2.5',
});

/** Sensor resistance for an input voltage; infinite at the supply voltage and negative above it. */
export const dividerResistance = formula({
  id: 'divider-resistance',
  title: 'Sensor resistance from the divider voltage',
  expression: 'Rₚ · V / (Vₛ − V)',
  terms: { voltage: INPUT, pullUp: PULL_UP, supply: SUPPLY },
  result: RESISTANCE,
  source: 'alexander-sec-2.5',
});

/** Heat (W) of the measuring current in the sensor. */
export const selfHeatingPower = formula({
  id: 'self-heating-power',
  title: 'Sensor self-heating',
  expression: '(Vₛ / (R + Rₚ))^2 · R',
  terms: { resistance: RESISTANCE, pullUp: PULL_UP, supply: SUPPLY },
  result: { symbol: 'P', label: 'self-heating', unit: 'W', show: 'mW' },
  source: 'alexander-sec-2.2',
});

/** Two resistors side by side. */
export const parallelResistance = formula({
  id: 'parallel-resistance',
  title: 'Resistance of two resistors in parallel',
  expression: 'R₁ · R₂ / (R₁ + R₂)',
  terms: {
    first: { symbol: 'R₁', label: 'first resistor', unit: 'ohm', valid: [1, 1e5] },
    second: { symbol: 'R₂', label: 'second resistor', unit: 'ohm', valid: [1, 1e5] },
  },
  result: { symbol: 'Rₜ', label: 'both in parallel', unit: 'ohm' },
  source: 'alexander-sec-2.6',
});
