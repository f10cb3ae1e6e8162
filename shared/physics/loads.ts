import { formula } from './formula.ts';
import { cylinders, injectorsPerCylinder } from './terms.ts';

const voltage = { symbol: 'V', label: 'supply', unit: 'V', valid: [0, 60] } as const;
const resistance = { symbol: 'R', label: 'load resistance', unit: 'ohm', valid: [0.05, 1e5] } as const;
const amperes = { unit: 'A', valid: [0, 1000] } as const;
const count = { symbol: 'k', unit: '', valid: [0, 100] } as const;

/** Resistance (ohm) of equal loads in parallel on one driver. */
export const driverLoad = formula({
  id: 'driver-load',
  title: 'Load on the driver',
  expression: 'R / k',
  terms: {
    resistance: { ...resistance, label: 'resistance of one load' },
    count: { ...count, label: 'loads in parallel', valid: [1, 100] },
  },
  result: { symbol: 'R_d', label: 'load on the driver', unit: 'ohm' },
  source: 'alexander-sec-2.6',
});

/** Current (A) of a load across the full supply voltage. */
export const loadCurrent = formula({
  id: 'load-current',
  title: 'Load current',
  expression: 'V / R',
  terms: { voltage, resistance },
  result: { symbol: 'I', label: 'load current', unit: 'A' },
  source: 'alexander-sec-2.2',
});

/** Mean current (A) of all injectors, each at full current while it is open. */
export const currentOfInjectors = formula({
  id: 'current-of-injectors',
  title: 'Mean injector current',
  expression: 'z · k · min(d, 1) · V / R',
  terms: {
    cylinders,
    perCylinder: { ...injectorsPerCylinder, symbol: 'k' },
    duty: { symbol: 'd', label: 'injector duty', unit: '', show: '%', valid: [0, 3] },
    voltage,
    resistance: { ...resistance, label: 'injector resistance' },
  },
  result: { symbol: 'I_i', label: 'injector current', unit: 'A' },
  source: 'definition',
});

/**
 * Current (A) of all coils if each drew its final current for the whole dwell: an upper bound of the mean, because the
 * current of a coil rises from zero.
 */
export const currentOfCoils = formula({
  id: 'current-of-coils',
  title: 'Coil current, upper bound of the mean',
  expression: 'k · min(d, 1) · I_c',
  terms: {
    coils: { ...count, label: 'number of coils' },
    share: { symbol: 'd', label: 'dwell share at maximum speed', unit: '', show: '%', valid: [0, 3] },
    current: { symbol: 'I_c', label: 'coil current', ...amperes },
  },
  result: { symbol: 'I_k', label: 'current of all coils', unit: 'A' },
  source: 'definition',
});

/** Current (A) of heaters at operating temperature; cold ones draw more. */
export const currentOfHeaters = formula({
  id: 'current-of-heaters',
  title: 'Sensor heater current',
  expression: 'k · I_h',
  terms: {
    heaters: { ...count, label: 'number of heaters' },
    current: { symbol: 'I_h', label: 'current per warm heater', ...amperes },
  },
  result: { symbol: 'I_w', label: 'current of all heaters', unit: 'A' },
  source: 'definition',
});

/** Total current (A) of all described loads. */
export const currentBudget = formula({
  id: 'current-budget',
  title: 'Total load current',
  expression: 'I_i + I_k + I_w + I_o + I_r',
  terms: {
    injectors: { symbol: 'I_i', label: 'injectors', ...amperes },
    coils: { symbol: 'I_k', label: 'coils', ...amperes },
    heaters: { symbol: 'I_w', label: 'heaters', ...amperes },
    outputs: { symbol: 'I_o', label: 'lights, relays, servos and valves', ...amperes },
    relayed: { symbol: 'I_r', label: 'loads switched by relays, such as the pump', ...amperes },
  },
  result: { symbol: 'I', label: 'total load current', unit: 'A' },
  source: 'definition',
});
