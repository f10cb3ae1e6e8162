import { airMassPerCycle } from './cylinder.ts';
import { formula } from './formula.ts';
import { injectorPulseWidth } from './injector.ts';
import { cycleTime, fuelMass, lambda, speed } from './terms.ts';

const ratio = { unit: '', show: '%' } as const;
const power = { symbol: 'P', label: 'power', unit: 'W', show: 'kW', valid: [0, 5e6] } as const;
const torque = { symbol: 'M', label: 'torque', unit: 'Nm', valid: [0, 1e5] } as const;
const temperature = {
  symbol: 'T',
  label: 'temperature of the air',
  unit: 'K',
  show: '°C',
  valid: [223, 353],
} as const;
const vapourPressure = {
  symbol: 'e_s',
  label: 'saturation vapour pressure',
  unit: 'Pa',
  show: 'kPa abs',
  valid: [0, 50000],
} as const;
const dryPressureTerm = {
  symbol: 'p_d',
  label: 'dry air pressure',
  unit: 'Pa',
  show: 'kPa abs',
  valid: [30000, 120000],
} as const;

/** Fuel (kg) per cylinder and cycle that an injector delivers with a logged pulse width (s): the inverse of `injectorPulseWidth`. */
export const fuelMassOfPulse = formula({
  id: 'fuel-mass-of-pulse',
  title: 'Fuel mass per cylinder and cycle of a pulse width',
  expression: 'max(0, t_i − t_d) · Q · ρ · i · k',
  terms: {
    pulseWidth: { ...injectorPulseWidth.result, valid: [0, 0.1] },
    deadTime: injectorPulseWidth.terms.deadTime,
    flow: injectorPulseWidth.terms.flow,
    fuelDensity: injectorPulseWidth.terms.fuelDensity,
    injectorsPerCylinder: injectorPulseWidth.terms.injectorsPerCylinder,
    injections: injectorPulseWidth.terms.injections,
  },
  result: fuelMass,
  source: 'rearranged',
});

/**
 * Volumetric efficiency (ratio, of manifold density) that burned the fuel (kg per cylinder and cycle) to the lambda that was
 * measured: pressures in Pa, volumes in m³, temperatures in K.
 */
export const measuredFilling = formula({
  id: 'measured-filling',
  title: 'Volumetric efficiency from the measured lambda',
  expression: 'm_f · AFR · λ · R · T_c / (p_m · V)',
  terms: {
    fuelMass,
    stoichiometricRatio: { symbol: 'AFR', label: 'stoichiometric ratio', unit: '', valid: [2, 40] },
    lambda,
    chargeTemperature: airMassPerCycle.terms.chargeTemperature,
    manifoldPressure: airMassPerCycle.terms.manifoldPressure,
    cylinderVolume: airMassPerCycle.terms.cylinderVolume,
  },
  constants: airMassPerCycle.constants!,
  result: { ...ratio, symbol: 'VE', label: 'volumetric efficiency' },
  source: 'rearranged',
});

/**
 * Time (s) from the intake of a cylinder to its lambda reading: one cycle (s) until the exhaust, and the lag of the sensor.
 * Common practice, no source.
 */
export const exhaustDelay = formula({
  id: 'exhaust-delay',
  title: 'Time from the intake of a cylinder to its lambda reading',
  expression: 't_c + t_s',
  terms: { cycleTime },
  constants: [{ symbol: 't_s', value: 0.06, unit: 's' }],
  result: { symbol: 't_e', label: 'exhaust delay', unit: 's', show: 'ms' },
  source: 'lambda-sensor-lag',
});

/** Power (W) of a torque (N m) at a speed (rpm). Heywood eq. 2.13. */
export const powerOfTorque = formula({
  id: 'power-of-torque',
  title: 'Power of a torque',
  expression: '2 · π · n / 60 · M',
  terms: { torque, speed },
  result: power,
  source: 'heywood-eq-2.13',
});

/** Torque (N m) at the crankshaft from the torque at the propeller shaft, the reduction ratio and the efficiency of the gear. */
export const crankTorqueOfShaft = formula({
  id: 'crank-torque-of-shaft',
  title: 'Crankshaft torque from the torque at the propeller shaft',
  expression: 'M / (i · η)',
  terms: {
    torque,
    ratio: { symbol: 'i', label: 'reduction ratio', unit: '', valid: [0.2, 20] },
    efficiency: { ...ratio, symbol: 'η', label: 'gear efficiency', valid: [0.01, 1] },
  },
  result: { ...torque, symbol: 'M_c', label: 'crankshaft torque' },
  source: 'definition',
});

/** Specific consumption (kg/J) from a fuel flow (kg/s) and a power (W). Heywood section 2.8. */
export const measuredConsumption = formula({
  id: 'measured-consumption',
  title: 'Brake specific fuel consumption',
  expression: 'm_t / P',
  terms: {
    fuelFlow: { symbol: 'm_t', label: 'fuel flow', unit: 'kg/s', show: 'kg/h', valid: [0, 0.5] },
    power,
  },
  result: { symbol: 'b', label: 'specific fuel consumption', unit: 'kg/J', show: 'g/kWh' },
  source: 'heywood-sec-2.8',
});

/** Saturation vapour pressure (Pa) over water at a temperature (K). Sonntag 1990, −50 to 100 °C. */
export const saturationPressure = formula({
  id: 'saturation-pressure',
  title: 'Saturation vapour pressure over water',
  expression: 'exp(a / T + b + c · T + d · T^2 + e · ln(T))',
  terms: { temperature },
  constants: [
    { symbol: 'a', value: -6096.9385, unit: 'K' },
    { symbol: 'b', value: 21.2409642, unit: '' },
    { symbol: 'c', value: -2.711193e-2, unit: '1/K' },
    { symbol: 'd', value: 1.673952e-5, unit: '1/K2' },
    { symbol: 'e', value: 2.433502, unit: '' },
  ],
  result: vapourPressure,
  source: 'sonntag-1990',
});

/** Pressure (Pa) of the dry part of humid air. */
export const dryPressure = formula({
  id: 'dry-pressure',
  title: 'Dry air pressure',
  expression: 'p − φ · e_s',
  terms: {
    pressure: { ...dryPressureTerm, symbol: 'p', label: 'air pressure' },
    humidity: { ...ratio, symbol: 'φ', label: 'relative humidity', valid: [0, 1] },
    saturation: vapourPressure,
  },
  result: dryPressureTerm,
  source: 'definition',
});

const REFERENCE = [
  { symbol: 'p₀', value: 99000, unit: 'Pa' },
  { symbol: 'T₀', value: 298.15, unit: 'K' },
] as const;
const airTerms = { dryPressure: dryPressureTerm, temperature };

/** Factor from measured to reference power of a spark-ignition engine. SAE J1349, with 85 % mechanical efficiency. */
export const saeCorrection = formula({
  id: 'sae-correction',
  title: 'Power correction factor, SAE J1349',
  expression: '1.18 · p₀ / p_d · √(T / T₀) − 0.18',
  terms: airTerms,
  constants: REFERENCE,
  result: { symbol: 'cf', label: 'power correction factor', unit: '' },
  source: 'sae-j1349',
});

/** Factor from measured to reference power of a spark-ignition engine. ISO 1585; valid from 0.93 to 1.07. */
export const isoCorrection = formula({
  id: 'iso-correction',
  title: 'Power correction factor, ISO 1585',
  expression: '(p₀ / p_d)^1.2 · (T / T₀)^0.6',
  terms: airTerms,
  constants: REFERENCE,
  result: { symbol: 'α_a', label: 'power correction factor', unit: '' },
  source: 'iso-1585',
});

/**
 * The factor of an engine whose charging holds its manifold pressure by itself: it is 1, because a factor for an aspirated
 * engine would count the state of the air twice. UN Regulation No. 85.
 */
export const compensatedCorrection = formula({
  id: 'compensated-correction',
  title: 'Power correction factor of an engine that compensates for the state of the air',
  expression: '1',
  terms: {},
  result: { symbol: 'α', label: 'power correction factor', unit: '' },
  source: 'un-r85',
});
