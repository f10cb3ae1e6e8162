import { formula } from './formula.ts';
import { ambientPressure } from './terms.ts';

/** Ratio of the heat capacities of air, from ISO 2533. */
const HEAT_CAPACITY_RATIO = 1.4;

const manifoldPressureTerm = {
  symbol: 'p_m',
  label: 'manifold pressure',
  unit: 'Pa',
  show: 'kPa abs',
  valid: [10000, 500000],
} as const;

const intakeLoss = {
  symbol: 'Δp_i',
  label: 'intake loss',
  unit: 'Pa',
  show: 'kPa',
  valid: [0, 4000],
} as const;

const coolerLoss = {
  symbol: 'Δp_c',
  label: 'intercooler loss',
  unit: 'Pa',
  show: 'kPa',
  valid: [0, 50000],
} as const;

const maximumPressureRatio = {
  symbol: 'PR_max',
  label: 'maximum pressure ratio',
  unit: '',
  valid: [1, 6],
} as const;

const ambientTemperature = {
  symbol: 'T₁',
  label: 'ambient temperature',
  unit: 'K',
  valid: [200, 330],
} as const;

const boost = { symbol: 'p_b', label: 'boost pressure', unit: 'Pa', show: 'kPa gauge' } as const;

/** Manifold pressure (Pa, absolute) of an engine without a compressor at full throttle. Pressures in Pa. */
export const aspiratedManifoldPressure = formula({
  id: 'aspirated-manifold-pressure',
  title: 'Manifold pressure at full throttle without a compressor',
  expression: 'p_a − Δp_i',
  terms: { ambientPressure, intakeLoss },
  result: manifoldPressureTerm,
  source: 'pressures',
});

/** Absolute pressure (Pa) of a gauge pressure (Pa above ambient). */
export const absolutePressure = formula({
  id: 'absolute-pressure',
  title: 'Absolute pressure',
  expression: 'p_a + p_b',
  terms: { ambientPressure, boostPressure: { ...boost, valid: [-100000, 400000] } },
  result: { symbol: 'p_abs', label: 'absolute pressure', unit: 'Pa', show: 'kPa abs' },
  source: 'pressures',
});

/** Highest manifold pressure (Pa, absolute) that the compressor can supply. Pressures in Pa. */
export const availableManifoldPressure = formula({
  id: 'available-manifold-pressure',
  title: 'Available manifold pressure',
  expression: '(p_a − Δp_i) · PR_max − Δp_c',
  terms: { ambientPressure, intakeLoss, maximumPressureRatio, coolerLoss },
  result: { symbol: 'p_v', label: 'available manifold pressure', unit: 'Pa', show: 'kPa abs' },
  source: 'pressures',
});

/** Manifold pressure (Pa, absolute): the target, limited by what is available. Pressures in Pa. */
export const manifoldPressure = formula({
  id: 'manifold-pressure',
  title: 'Manifold pressure',
  expression: 'min(p_t, p_v)',
  terms: {
    target: { ...manifoldPressureTerm, symbol: 'p_t', label: 'target manifold pressure' },
    available: { ...manifoldPressureTerm, symbol: 'p_v', label: 'available manifold pressure' },
  },
  result: manifoldPressureTerm,
  source: 'definition',
});

/** Boost pressure (Pa above ambient; negative if the throttle holds the manifold below ambient). */
export const boostPressure = formula({
  id: 'boost-pressure',
  title: 'Boost pressure',
  expression: 'p_m − p_a',
  terms: { manifoldPressure: manifoldPressureTerm, ambientPressure },
  result: boost,
  source: 'pressures',
});

/**
 * Pressure ratio over the compressor: outlet over inlet, both absolute (Pa), never below 1 (the throttle, not
 * the compressor, lowers the pressure).
 */
export const pressureRatio = formula({
  id: 'pressure-ratio',
  title: 'Compressor pressure ratio',
  expression: 'max(1, (p_m + Δp_c) / (p_a − Δp_i))',
  terms: { manifoldPressure: manifoldPressureTerm, coolerLoss, ambientPressure, intakeLoss },
  result: { symbol: 'PR', label: 'pressure ratio', unit: '' },
  source: 'pressures',
});

/** Temperature (K) after the compressor from inlet temperature (K), pressure ratio and isentropic efficiency; γ = 1.4. */
export const compressorOutletTemperature = formula({
  id: 'compressor-outlet-temperature',
  title: 'Compressor outlet temperature',
  expression: 'T₁ · (1 + (PR^((γ − 1) / γ) − 1) / η)',
  terms: {
    ambientTemperature,
    pressureRatio: { symbol: 'PR', label: 'pressure ratio', unit: '', valid: [1, 6] },
    efficiency: { symbol: 'η', label: 'compressor efficiency', unit: '', show: '%', valid: [0.2, 1] },
  },
  constants: [{ symbol: 'γ', value: HEAT_CAPACITY_RATIO, unit: '' }],
  result: { symbol: 'T₂', label: 'compressor outlet temperature', unit: 'K', show: '°C' },
  source: 'heywood-sec-6.8',
});

/** Temperature (K) of the charge after an intercooler that ambient air cools. */
export const chargeTemperature = formula({
  id: 'charge-temperature',
  title: 'Charge temperature',
  expression: 'T₂ − ε · (T₂ − T₁)',
  terms: {
    outletTemperature: {
      symbol: 'T₂',
      label: 'compressor outlet temperature',
      unit: 'K',
      valid: [200, 700],
    },
    effectiveness: { symbol: 'ε', label: 'intercooler effectiveness', unit: '', show: '%', valid: [0, 1] },
    ambientTemperature,
  },
  result: { symbol: 'T_c', label: 'charge temperature', unit: 'K', show: '°C' },
  source: 'effectiveness',
});

/**
 * Lowest ambient pressure (Pa) at which the compressor still supplies an absolute manifold pressure (Pa); its pressure
 * altitude is the critical altitude.
 */
export const criticalPressure = formula({
  id: 'critical-pressure',
  title: 'Ambient pressure at the critical altitude',
  expression: '(p_m + Δp_c) / PR_max + Δp_i',
  terms: { manifoldPressure: manifoldPressureTerm, coolerLoss, maximumPressureRatio, intakeLoss },
  result: { symbol: 'p_a', label: 'ambient pressure', unit: 'Pa', show: 'kPa abs' },
  source: 'pressures',
});

/**
 * The same for a boost pressure (Pa above ambient), whose absolute pressure falls with altitude. Infinite if the
 * pressure ratio is 1 and boost is required: no ambient pressure is enough.
 */
export const criticalPressureForBoost = formula({
  id: 'critical-pressure-for-boost',
  title: 'Ambient pressure at the critical altitude, for a gauge target',
  expression: '(p_b + Δp_c + PR_max · Δp_i) / (PR_max − 1)',
  terms: {
    boostPressure: { ...boost, valid: [0, 400000] },
    coolerLoss,
    maximumPressureRatio: { ...maximumPressureRatio, valid: [1.01, 6] },
    intakeLoss,
  },
  result: { symbol: 'p_a', label: 'ambient pressure', unit: 'Pa', show: 'kPa abs' },
  source: 'pressures',
});
