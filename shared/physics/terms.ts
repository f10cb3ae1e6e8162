// Terms shared by formulas of several subjects, so that a quantity has the same symbol, unit and range everywhere.

export const speed = { symbol: 'n', label: 'engine speed', unit: 'rpm', valid: [50, 20000] } as const;
export const cylinders = { symbol: 'z', label: 'cylinders', unit: '', valid: [1, 28] } as const;
export const revolutions = { symbol: 'r', label: 'revolutions per cycle', unit: '', valid: [1, 2] } as const;
export const bore = { symbol: 'B', label: 'bore', unit: 'm', show: 'mm', valid: [0.02, 0.4] } as const;

export const manifoldPressure = {
  symbol: 'p_m',
  label: 'manifold pressure',
  unit: 'Pa',
  show: 'kPa abs',
  valid: [0, 500000],
} as const;
export const ambientPressure = {
  symbol: 'p_a',
  label: 'ambient pressure',
  unit: 'Pa',
  show: 'kPa abs',
  valid: [5000, 120000],
} as const;
export const cycleTime = {
  symbol: 't_c',
  label: 'cycle time',
  unit: 's',
  show: 'ms',
  valid: [0.003, 3],
} as const;
export const lambda = { symbol: 'λ', label: 'lambda', unit: '', valid: [0.3, 3] } as const;
export const fuelMass = {
  symbol: 'm_f',
  label: 'fuel mass',
  unit: 'kg',
  show: 'mg',
  valid: [1e-8, 2e-3],
} as const;
export const fuelDensity = {
  symbol: 'ρ',
  label: 'fuel density',
  unit: 'kg/m3',
  show: 'kg/L',
  valid: [600, 1000],
} as const;

export const flow = {
  symbol: 'Q',
  label: 'injector flow',
  unit: 'm3/s',
  show: 'cc/min',
  valid: [1e-7, 1e-4],
} as const;
export const injections = { symbol: 'k', label: 'injections per cycle', unit: '', valid: [1, 4] } as const;
export const injectorsPerCylinder = {
  symbol: 'i',
  label: 'injectors per cylinder',
  unit: '',
  valid: [1, 4],
} as const;
export const deadTime = {
  symbol: 't_d',
  label: 'dead time',
  unit: 's',
  show: 'ms',
  valid: [0, 0.01],
} as const;
