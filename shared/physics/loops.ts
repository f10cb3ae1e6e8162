import { formula } from './formula.ts';
import {
  cycleTime,
  deadTime,
  flow,
  fuelDensity,
  fuelMass,
  injections,
  injectorsPerCylinder,
  lambda,
} from './terms.ts';

const advance = { unit: 'deg', valid: [-60, 60] } as const;
const authority = { unit: '', show: '%', valid: [0, 0.9] } as const;
const authorities = {
  lambdaAuthority: { ...authority, symbol: 'a_λ', label: 'lambda loop authority' },
  exhaustAuthority: { ...authority, symbol: 'a_e', label: 'exhaust temperature loop authority' },
} as const;

/**
 * Pressure drop (Pa) across an injector at which its pulse takes the share `duty` of a cycle (s): the pulse width and
 * orifice equations solved for the pressure drop, with the time that remains after the dead time (s). Infinite if
 * none remains.
 */
export const lowestRailDrop = formula({
  id: 'lowest-rail-drop',
  title: 'Minimum fuel pressure above manifold pressure to stay within maximum duty',
  expression: 'Δp_r · (m_f / (max(0, D · t_c / k − t_d) · i · k · ρ · Q_s))^2 · ρ / ρ_t',
  terms: {
    ratedPressure: { symbol: 'Δp_r', label: 'rated pressure', unit: 'Pa', show: 'bar', valid: [50000, 1e6] },
    fuelMass,
    duty: { symbol: 'D', label: 'maximum duty', unit: '', show: '%', valid: [0.1, 1] },
    cycleTime,
    injections,
    deadTime,
    injectorsPerCylinder,
    fuelDensity,
    staticFlow: { ...flow, symbol: 'Q_s', label: 'static flow' },
    testFluidDensity: { ...fuelDensity, symbol: 'ρ_t', label: 'test fluid density' },
  },
  result: {
    symbol: 'Δp_min',
    label: 'minimum fuel pressure above manifold pressure',
    unit: 'Pa',
    show: 'bar',
  },
  source: 'rearranged',
});

/** Fuel (kg) with every loop at full enrichment (authorities are shares of the base fuel). */
export const enrichedFuelMass = formula({
  id: 'enriched-fuel-mass',
  title: 'Fuel mass at full enrichment',
  expression: 'm_f · (1 + a_λ) · (1 + a_e)',
  terms: { fuelMass, ...authorities },
  result: { ...fuelMass, symbol: 'm_e', label: 'fuel mass at full enrichment' },
  source: 'definition',
});

/** Lambda with every loop at full enrichment and unchanged air. */
export const enrichedLambda = formula({
  id: 'enriched-lambda',
  title: 'Lambda at full enrichment',
  expression: 'λ / ((1 + a_λ) · (1 + a_e))',
  terms: { lambda, ...authorities },
  result: { ...lambda, symbol: 'λ_e', label: 'lambda at full enrichment' },
  source: 'definition',
});

/** Lambda with every loop at full leaning, up to the lean limit (infinite for none); never richer than without loops. */
export const leanedLambda = formula({
  id: 'leaned-lambda',
  title: 'Lambda at full leaning',
  expression: 'max(λ, min(λ_l, λ / ((1 − a_λ) · (1 − a_e))))',
  terms: {
    lambda,
    leanLimit: { symbol: 'λ_l', label: 'lean limit', unit: '', valid: [0.5, Infinity] },
    ...authorities,
  },
  result: { ...lambda, symbol: 'λ_m', label: 'lambda at full leaning' },
  source: 'definition',
});

/** Advance (deg before top dead centre) with the knock loop at maximum retard. */
export const retardedAdvance = formula({
  id: 'retarded-advance',
  title: 'Ignition advance at maximum knock retard',
  expression: 'α − α_k',
  terms: {
    advance: { ...advance, symbol: 'α', label: 'ignition advance' },
    maximumRetard: { ...advance, symbol: 'α_k', label: 'maximum knock retard' },
  },
  result: { symbol: 'α_min', label: 'advance at maximum knock retard', unit: 'deg' },
  source: 'definition',
});

/**
 * Fuel (kg) that a pulse (s) injects into a cylinder per cycle (s): the pulse width equation solved for the fuel. Zero
 * within the dead time; a pulse cannot be longer than the cycle.
 */
export const injectedFuelMass = formula({
  id: 'injected-fuel-mass',
  title: 'Fuel mass injected per cylinder and cycle',
  expression: 'max(0, min(t_i, t_c / k) − t_d) · Q · ρ · i · k',
  terms: {
    pulseWidth: { symbol: 't_i', label: 'injector pulse width', unit: 's', show: 'ms', valid: [0, 0.1] },
    cycleTime,
    deadTime,
    flow,
    fuelDensity,
    injectorsPerCylinder,
    injections,
  },
  result: { ...fuelMass, symbol: 'm_i', label: 'fuel mass injected' },
  source: 'sae-j1832',
});

/**
 * Lambda that results if the injected fuel (kg) differs from the fuel required (kg) for the target lambda. Infinite
 * without fuel.
 */
export const lambdaOfInjectedFuel = formula({
  id: 'lambda-of-injected-fuel',
  title: 'Lambda from injected and required fuel',
  expression: 'λ · m_f / m_i',
  terms: {
    lambda,
    fuelMass: { ...fuelMass, label: 'fuel mass required' },
    injected: { ...fuelMass, symbol: 'm_i', label: 'fuel mass injected' },
  },
  result: { ...lambda, symbol: 'λ_f', label: 'resulting lambda' },
  source: 'definition',
});
