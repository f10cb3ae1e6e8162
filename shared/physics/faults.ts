import { formula } from './formula.ts';
import {
  cycleTime,
  cylinders,
  deadTime,
  flow,
  fuelDensity,
  fuelMass,
  injections,
  injectorsPerCylinder,
  lambda,
} from './terms.ts';

/*
 * The mixture under a fault, written with quotients of assumed and actual values, which cancel where both are equal, so
 * that bounds over many states stay narrow. The same number as `lambdaOfInjectedFuel` of `injectedFuelMass`, see the
 * tests.
 */

const number = { unit: '', valid: [0.01, 100] } as const;

export const quotient = formula({
  id: 'quotient',
  title: 'Ratio of assumed to actual value',
  expression: 'a / b',
  terms: {
    above: { ...number, symbol: 'a', label: 'assumed' },
    below: { ...number, symbol: 'b', label: 'actual' },
  },
  result: { symbol: 'r', label: 'ratio', unit: '' },
  source: 'definition',
});

export const product = formula({
  id: 'product',
  title: 'Product of two ratios',
  expression: 'a · b',
  terms: {
    first: { ...number, symbol: 'a', label: 'first ratio' },
    second: { ...number, symbol: 'b', label: 'second ratio' },
  },
  result: { symbol: 'r', label: 'ratio', unit: '' },
  source: 'definition',
});

const flowTerms = {
  flow,
  fuelDensity,
  injectorsPerCylinder,
  injections,
  fuelMass: { ...fuelMass, label: 'fuel mass required for lambda 1' },
} as const;

/** Fuel that a wrong dead time adds, as a share of the fuel that lambda 1 requires. */
export const deadTimeShare = formula({
  id: 'dead-time-share',
  title: 'Extra fuel due to a wrong dead time, relative to the fuel for lambda 1',
  expression: '(t_a − t_d) · Q · ρ · i · k / m_f',
  terms: { assumed: { ...deadTime, symbol: 't_a', label: 'assumed dead time' }, deadTime, ...flowTerms },
  result: { symbol: 'd', label: 'share of fuel', unit: '' },
  source: 'definition',
});

/** Fuel from injectors that never close, as a multiple of the fuel that lambda 1 requires. */
export const fuelCapacity = formula({
  id: 'fuel-capacity',
  title: 'Fuel from permanently open injectors, relative to the fuel for lambda 1',
  expression: '(t_c / k − t_d) · Q · ρ · i · k / m_f',
  terms: { cycleTime, deadTime, ...flowTerms },
  result: { symbol: 'c', label: 'multiple of the fuel for lambda 1', unit: '' },
  source: 'definition',
});

/** Lambda if the controller injects fuel for a state that is not the engine's. Infinite without fuel. */
export const deliveredLambda = formula({
  id: 'delivered-lambda',
  title: 'Lambda when fuel is injected for an assumed state',
  expression: '1 / max(0, min(r / λ_a + d, c))',
  terms: {
    ratio: { ...number, symbol: 'r', label: 'ratio of assumed to actual air and corrections' },
    assumedLambda: { ...lambda, symbol: 'λ_a', label: 'target lambda for the assumed state' },
    deadTimeShare: { symbol: 'd', label: 'share of fuel due to a wrong dead time', unit: '', valid: [-1, 1] },
    capacity: {
      ...number,
      symbol: 'c',
      label: 'fuel from permanently open injectors, relative to the fuel for lambda 1',
    },
  },
  result: { ...lambda, symbol: 'λ_f', label: 'resulting lambda' },
  source: 'definition',
});

const firing = { symbol: 'z_f', label: 'cylinders that fire', unit: '', valid: [0, 28] } as const;
const power = { symbol: 'P', label: 'power', unit: 'W', show: 'kW', valid: [0, 2e6] } as const;

export const cylindersFiring = formula({
  id: 'cylinders-firing',
  title: 'Cylinders that fire',
  expression: 'z − z_0',
  terms: { cylinders, dead: { ...firing, symbol: 'z_0', label: 'cylinders without fuel or spark' } },
  result: firing,
  source: 'definition',
});

/** An upper bound: the cylinders that fire also turn those that do not. */
export const powerOfFiringCylinders = formula({
  id: 'power-of-firing-cylinders',
  title: 'Power left, at most',
  expression: 'P · z_f / z',
  terms: { power, firing, cylinders },
  result: { ...power, symbol: 'P_f', label: 'power left, at most' },
  source: 'definition',
});

const outputCount = { unit: '', valid: [0, 8] } as const;

/** Lambda of a cylinder that some of its injectors no longer supply. */
export const lambdaOfFewerInjectors = formula({
  id: 'lambda-of-fewer-injectors',
  title: 'Lambda of a cylinder without some of its injectors',
  expression: 'λ · n / n_f',
  terms: {
    lambda,
    outputs: { ...outputCount, symbol: 'n', label: 'injector outputs of the cylinder' },
    left: { ...outputCount, symbol: 'n_f', label: 'working injector outputs' },
  },
  result: { ...lambda, symbol: 'λ_f', label: 'resulting lambda' },
  source: 'definition',
});
