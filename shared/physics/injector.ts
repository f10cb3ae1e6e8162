import { formula } from './formula.ts';
import {
  ambientPressure,
  cycleTime,
  cylinders,
  deadTime,
  flow,
  fuelDensity,
  fuelMass,
  injections,
  injectorsPerCylinder,
  lambda,
  manifoldPressure,
} from './terms.ts';

/** Openings of an injector per cycle, by injection timing. */
export const injectionsPerCycle = { sequential: 1, paired: 2, simultaneous: 2 } as const;

const railDrop = {
  symbol: 'Δp',
  label: 'fuel pressure above manifold pressure',
  unit: 'Pa',
  show: 'bar',
  valid: [-200000, 1e6],
} as const;
const factor = { unit: '', show: '%', valid: [0, 5] } as const;
const pulse = { symbol: 't_i', label: 'injector pulse width', unit: 's', show: 'ms' } as const;
const massFlow = { symbol: 'm_t', label: 'fuel flow', unit: 'kg/s', show: 'kg/h' } as const;
const volumeFlow = { symbol: 'Q_f', label: 'fuel flow by volume', unit: 'm3/s', show: 'L/h' } as const;

/** Fuel pressure (Pa gauge) with a rail that is held above manifold pressure. Pressures in Pa. */
export const referencedRailPressure = formula({
  id: 'referenced-rail-pressure',
  title: 'Fuel pressure above ambient pressure, manifold-referenced regulator',
  expression: 'Δp + p_m − p_a',
  terms: {
    railDrop,
    manifoldPressure,
    ambientPressure,
  },
  result: { symbol: 'p_r', label: 'fuel pressure', unit: 'Pa', show: 'bar gauge', valid: [-200000, 1e6] },
  source: 'pressures',
});

/**
 * Fuel pressure (Pa) above manifold pressure with a fixed regulator: rail gauge plus ambient less manifold pressure.
 * Negative if manifold pressure exceeds rail pressure.
 */
export const fixedRailPressure = formula({
  id: 'fixed-rail-pressure',
  title: 'Fuel pressure above manifold pressure, fixed regulator',
  expression: 'p_r + p_a − p_m',
  terms: {
    railPressure: { symbol: 'p_r', label: 'rail pressure', unit: 'Pa', show: 'bar gauge', valid: [0, 1e6] },
    ambientPressure,
    manifoldPressure,
  },
  result: railDrop,
  source: 'pressures',
});

/**
 * Flow (m³/s of this fuel) of an open injector at a pressure drop (Pa), from its static flow (m³/s) at the
 * rated drop (Pa) on a test fluid (density kg/m³). No flow if the drop is zero or negative. For a flow that is
 * stated for this fuel, give its density twice.
 */
export const injectorFlow = formula({
  id: 'injector-flow',
  title: 'Injector flow',
  expression: 'Q_s · √(max(0, Δp) / Δp_r) · √(ρ_t / ρ)',
  terms: {
    staticFlow: { ...flow, symbol: 'Q_s', label: 'static flow' },
    railDrop,
    ratedPressure: {
      symbol: 'Δp_r',
      label: 'rated pressure',
      unit: 'Pa',
      show: 'bar',
      valid: [50000, 1e6],
    },
    testFluidDensity: { ...fuelDensity, symbol: 'ρ_t', label: 'test fluid density' },
    fuelDensity,
  },
  result: flow,
  source: 'iso-5167-1',
});

/**
 * Fuel mass (kg) per cylinder and cycle: air (kg) over stoichiometric ratio and lambda, times warm-up enrichment and
 * charge temperature correction (ratios, 1 is none). A definition of ours.
 */
export const fuelMassPerCycle = formula({
  id: 'fuel-mass-per-cycle',
  title: 'Fuel mass per cylinder and cycle',
  expression: 'm_a / (AFR · λ) · f_w · f_c',
  terms: {
    airMass: { symbol: 'm_a', label: 'air mass', unit: 'kg', show: 'mg', valid: [0, 0.03] },
    stoichiometricRatio: { symbol: 'AFR', label: 'stoichiometric ratio', unit: '', valid: [2, 40] },
    lambda,
    warmUpEnrichment: { ...factor, symbol: 'f_w', label: 'warm-up enrichment' },
    chargeTemperatureCorrection: { ...factor, symbol: 'f_c', label: 'charge temperature correction' },
  },
  result: fuelMass,
  source: 'definition',
});

/**
 * Time (s) for which an injector is driven: its share of the fuel (kg) over its mass flow (m³/s · kg/m³), plus the
 * dead time (s). Infinite without flow.
 */
export const injectorPulseWidth = formula({
  id: 'injector-pulse-width',
  title: 'Injector pulse width',
  expression: 'm_f / (Q · ρ · i · k) + t_d',
  terms: {
    fuelMass,
    flow,
    fuelDensity,
    injectorsPerCylinder,
    injections,
    deadTime,
  },
  result: pulse,
  source: 'sae-j1832',
});

/** Share of the cycle (s) for which an injector is driven; more than 1 is not possible. */
export const injectorDuty = formula({
  id: 'injector-duty',
  title: 'Injector duty',
  expression: 't_i · k / t_c',
  terms: { pulseWidth: { ...pulse, valid: [0, 0.1] }, injections, cycleTime },
  result: { symbol: 'D', label: 'injector duty', unit: '', show: '%' },
  source: 'definition',
});

/** Fuel flow (kg/s) of the engine from the fuel mass (kg) per cylinder and cycle (s). A definition of ours. */
export const fuelFlow = formula({
  id: 'fuel-flow',
  title: 'Fuel flow',
  expression: 'm_f · z / t_c',
  terms: { fuelMass, cylinders, cycleTime },
  result: massFlow,
  source: 'definition',
});

/** The same flow by volume (m³/s). */
export const fuelVolumeFlow = formula({
  id: 'fuel-volume-flow',
  title: 'Fuel flow by volume',
  expression: 'm_t / ρ',
  terms: { massFlow: { ...massFlow, valid: [0, 0.5] }, fuelDensity },
  result: volumeFlow,
  source: 'definition',
});
