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

/** Voltage at an input whose pull-up goes to the supply and whose sensor goes to ground. */
export const dividerVoltage = formula({
  id: 'divider-voltage',
  title: 'Voltage of the divider',
  expression: 'Vₛ · R / (R + Rₚ)',
  terms: { resistance: RESISTANCE, pullUp: PULL_UP, supply: SUPPLY },
  result: INPUT,
  source: 'alexander-sec-2.5',
  compute: ({ resistance, pullUp, supply }) => (supply * resistance) / (resistance + pullUp),
});

/** Resistance of the sensor that makes a voltage at the input; negative or infinite from the supply's up. */
export const dividerResistance = formula({
  id: 'divider-resistance',
  title: 'Resistance from the voltage of the divider',
  expression: 'Rₚ · V / (Vₛ − V)',
  terms: { voltage: INPUT, pullUp: PULL_UP, supply: SUPPLY },
  result: RESISTANCE,
  source: 'alexander-sec-2.5',
  compute: ({ voltage, pullUp, supply }) => (pullUp * voltage) / (supply - voltage),
});

/** Power (W) that the measuring current turns into heat in the sensor. */
export const selfHeatingPower = formula({
  id: 'self-heating-power',
  title: 'Self-heating of the sensor',
  expression: '(Vₛ / (R + Rₚ))^2 · R',
  terms: { resistance: RESISTANCE, pullUp: PULL_UP, supply: SUPPLY },
  result: { symbol: 'P', label: 'self-heating', unit: 'W', show: 'mW' },
  source: 'alexander-sec-2.2',
  compute: ({ resistance, pullUp, supply }) => (supply / (resistance + pullUp)) ** 2 * resistance,
});
