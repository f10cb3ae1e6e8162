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
  lambdaAuthority: { ...authority, symbol: 'a_λ', label: 'authority of the lambda loop' },
  exhaustAuthority: { ...authority, symbol: 'a_e', label: 'authority of the exhaust temperature loop' },
} as const;

/**
 * Pressure drop (Pa) across an injector at which its pulse just fills the share `duty` of a cycle (s): the
 * flow that the fuel (kg) needs in the time that is left after the dead time (s), by the orifice equation
 * turned round. Infinite where the dead time leaves none.
 */
export const lowestRailDrop = formula({
  id: 'lowest-rail-drop',
  title: 'Lowest fuel pressure over the manifold within the duty limit',
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
  result: { symbol: 'Δp_min', label: 'lowest fuel pressure over the manifold', unit: 'Pa', show: 'bar' },
  source: 'rearranged',
  compute(of) {
    const open = Math.max(0, (of.duty * of.cycleTime) / of.injections - of.deadTime);
    const perOpening = of.injectorsPerCylinder * of.injections * of.fuelDensity * of.staticFlow;
    return (
      (of.ratedPressure * (of.fuelMass / (open * perOpening)) ** 2 * of.fuelDensity) / of.testFluidDensity
    );
  },
});

/** Fuel (kg) with every loop adding all it may (authorities are shares of the base fuel). */
export const enrichedFuelMass = formula({
  id: 'enriched-fuel-mass',
  title: 'Fuel mass at full enrichment',
  expression: 'm_f · (1 + a_λ) · (1 + a_e)',
  terms: { fuelMass, ...authorities },
  result: { ...fuelMass, symbol: 'm_e', label: 'fuel mass at full enrichment' },
  source: 'definition',
  compute: ({ fuelMass, lambdaAuthority, exhaustAuthority }) =>
    fuelMass * (1 + lambdaAuthority) * (1 + exhaustAuthority),
});

/** Lambda with every loop adding all it may, where the air stays. */
export const enrichedLambda = formula({
  id: 'enriched-lambda',
  title: 'Lambda at full enrichment',
  expression: 'λ / ((1 + a_λ) · (1 + a_e))',
  terms: { lambda, ...authorities },
  result: { ...lambda, symbol: 'λ_e', label: 'lambda at full enrichment' },
  source: 'definition',
  compute: ({ lambda, lambdaAuthority, exhaustAuthority }) =>
    lambda / ((1 + lambdaAuthority) * (1 + exhaustAuthority)),
});

/** Lambda with every loop taking away all it may, up to the lean limit; never richer than without loops. */
export const leanedLambda = formula({
  id: 'leaned-lambda',
  title: 'Lambda at full leaning',
  expression: 'max(λ, min(λ_l, λ / ((1 − a_λ) · (1 − a_e))))',
  terms: {
    lambda,
    leanLimit: { symbol: 'λ_l', label: 'lean limit', unit: '', valid: [0.5, 3] },
    ...authorities,
  },
  result: { ...lambda, symbol: 'λ_m', label: 'lambda at full leaning' },
  source: 'definition',
  compute: ({ lambda, leanLimit, lambdaAuthority, exhaustAuthority }) =>
    Math.max(lambda, Math.min(leanLimit, lambda / ((1 - lambdaAuthority) * (1 - exhaustAuthority)))),
});

/** Advance (deg before top dead centre) when the knock loop has taken away all it may. */
export const retardedAdvance = formula({
  id: 'retarded-advance',
  title: 'Ignition advance at maximum knock retard',
  expression: 'α − α_k',
  terms: {
    advance: { ...advance, symbol: 'α', label: 'ignition advance' },
    maximumRetard: { ...advance, symbol: 'α_k', label: 'maximum retard of the knock loop' },
  },
  result: { symbol: 'α_min', label: 'advance at maximum knock retard', unit: 'deg' },
  source: 'definition',
  compute: ({ advance, maximumRetard }) => advance - maximumRetard,
});

/**
 * Fuel (kg) that a pulse (s) brings into a cylinder in a cycle (s): the pulse width turned round. None within
 * the dead time; an injector that never closes gives no more than the cycle lasts.
 */
export const injectedFuelMass = formula({
  id: 'injected-fuel-mass',
  title: 'Fuel mass of a pulse',
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
  result: { ...fuelMass, symbol: 'm_i', label: 'fuel mass of the pulse' },
  source: 'sae-j1832',
  compute(of) {
    const open = Math.max(0, Math.min(of.pulseWidth, of.cycleTime / of.injections) - of.deadTime);
    return open * of.flow * of.fuelDensity * of.injectorsPerCylinder * of.injections;
  },
});

/**
 * Lambda that comes about where other fuel is injected (kg) than is needed (kg) for the lambda aimed at.
 * Infinite where none is injected.
 */
export const lambdaOfInjectedFuel = formula({
  id: 'lambda-of-injected-fuel',
  title: 'Lambda from the fuel injected and the fuel needed',
  expression: 'λ · m_f / m_i',
  terms: {
    lambda,
    fuelMass: { ...fuelMass, label: 'fuel mass needed' },
    injected: { ...fuelMass, symbol: 'm_i', label: 'fuel mass injected' },
  },
  result: { ...lambda, symbol: 'λ_f', label: 'lambda that comes about' },
  source: 'definition',
  compute: ({ lambda, fuelMass, injected }) => (lambda * fuelMass) / injected,
});
