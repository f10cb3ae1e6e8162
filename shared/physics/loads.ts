import { formula } from './formula.ts';
import { cylinders, injectorsPerCylinder } from './terms.ts';

const voltage = { symbol: 'V', label: 'supply', unit: 'V', valid: [0, 60] } as const;
const resistance = { symbol: 'R', label: 'resistance of the load', unit: 'ohm', valid: [0.05, 1e5] } as const;
const amperes = { unit: 'A', valid: [0, 1000] } as const;
const count = { symbol: 'k', unit: '', valid: [0, 100] } as const;

/** Resistance (ohm) that a driver sees where it switches equal loads side by side. */
export const driverLoad = formula({
  id: 'driver-load',
  title: 'Load of the driver',
  expression: 'R / k',
  terms: {
    resistance: { ...resistance, label: 'resistance of one load' },
    count: { ...count, label: 'loads in parallel', valid: [1, 100] },
  },
  result: { symbol: 'R_d', label: 'load of the driver', unit: 'ohm' },
  source: 'alexander-sec-2.6',
  compute: ({ resistance, count }) => resistance / count,
});

/** Current (A) of a load that the whole supply lies across. */
export const loadCurrent = formula({
  id: 'load-current',
  title: 'Current of the load',
  expression: 'V / R',
  terms: { voltage, resistance },
  result: { symbol: 'I', label: 'current of the load', unit: 'A' },
  source: 'alexander-sec-2.2',
  compute: ({ voltage, resistance }) => voltage / resistance,
});

/** Mean current (A) of all injectors, each at its full current for the time that it is open. */
export const currentOfInjectors = formula({
  id: 'current-of-injectors',
  title: 'Mean current of the injectors',
  expression: 'z · k · min(d, 1) · V / R',
  terms: {
    cylinders,
    perCylinder: { ...injectorsPerCylinder, symbol: 'k' },
    duty: { symbol: 'd', label: 'injector duty', unit: '', show: '%', valid: [0, 3] },
    voltage,
    resistance: { ...resistance, label: 'resistance of an injector' },
  },
  result: { symbol: 'I_i', label: 'current of the injectors', unit: 'A' },
  source: 'definition',
  compute: ({ cylinders, perCylinder, duty, voltage, resistance }) =>
    (cylinders * perCylinder * Math.min(duty, 1) * voltage) / resistance,
});

/**
 * Current (A) of all coils as if each drew its last current for the whole dwell: an upper bound of the mean, as the
 * current of a coil rises from zero.
 */
export const currentOfCoils = formula({
  id: 'current-of-coils',
  title: 'Current of the coils, charged at their final current',
  expression: 'k · min(d, 1) · I_c',
  terms: {
    coils: { ...count, label: 'coils' },
    share: { symbol: 'd', label: 'dwell share at maximum speed', unit: '', show: '%', valid: [0, 3] },
    current: { symbol: 'I_c', label: 'coil current', ...amperes },
  },
  result: { symbol: 'I_k', label: 'current of the coils', unit: 'A' },
  source: 'definition',
  compute: ({ coils, share, current }) => coils * Math.min(share, 1) * current,
});

/** Current (A) of heaters that have reached their temperature; cold ones draw more. */
export const currentOfHeaters = formula({
  id: 'current-of-heaters',
  title: 'Current of the sensor heaters',
  expression: 'k · I_h',
  terms: {
    heaters: { ...count, label: 'heaters' },
    current: { symbol: 'I_h', label: 'current of a warm heater', ...amperes },
  },
  result: { symbol: 'I_w', label: 'current of the heaters', unit: 'A' },
  source: 'definition',
  compute: ({ heaters, current }) => heaters * current,
});

/** Current (A) that all described loads take together. */
export const currentBudget = formula({
  id: 'current-budget',
  title: 'Sum of the loads',
  expression: 'I_i + I_k + I_w + I_o + I_r',
  terms: {
    injectors: { symbol: 'I_i', label: 'injectors', ...amperes },
    coils: { symbol: 'I_k', label: 'coils', ...amperes },
    heaters: { symbol: 'I_w', label: 'heaters', ...amperes },
    outputs: { symbol: 'I_o', label: 'lights, relays, servos and valves', ...amperes },
    relayed: { symbol: 'I_r', label: 'loads behind relays, as the pump', ...amperes },
  },
  result: { symbol: 'I', label: 'sum of the loads', unit: 'A' },
  source: 'definition',
  compute: ({ injectors, coils, heaters, outputs, relayed }) =>
    injectors + coils + heaters + outputs + relayed,
});
