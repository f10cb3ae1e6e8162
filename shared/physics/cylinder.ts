import { formula } from './formula.ts';
import { bore, cylinders, manifoldPressure, revolutions, speed } from './terms.ts';

/** Crankshaft revolutions per cycle. */
export const revolutionsPerCycle = { 'four-stroke': 2, 'two-stroke': 1 } as const;

/** Gas constant of dry air, J/(kg K), rounded as engine textbooks do (ISO 2533: 287.05287). */
const GAS_CONSTANT_OF_AIR = 287.05;

const stroke = { symbol: 'S', label: 'stroke', unit: 'm', show: 'mm', valid: [0.02, 0.4] } as const;
const displacementTerm = {
  symbol: 'V_d',
  label: 'displacement',
  unit: 'm3',
  show: 'L',
  valid: [2e-5, 0.1],
} as const;
const cylinderVolumeTerm = {
  symbol: 'V',
  label: 'cylinder volume',
  unit: 'm3',
  show: 'cm3',
  valid: [2e-5, 0.02],
} as const;
const power = { symbol: 'P', label: 'power', unit: 'W', show: 'kW', valid: [0, 5e6] } as const;
const fuelFlow = { symbol: 'm_f', label: 'fuel flow', unit: 'kg/s', show: 'kg/h', valid: [0, 0.5] } as const;
const consumption = {
  symbol: 'b',
  label: 'specific fuel consumption',
  unit: 'kg/J',
  show: 'g/kWh',
  valid: [4e-8, 4e-7],
} as const;

/** Swept volume (m³) of one cylinder from bore and stroke (m). */
export const cylinderVolume = formula({
  id: 'cylinder-volume',
  title: 'Swept volume of one cylinder',
  expression: 'π / 4 · B^2 · S',
  terms: {
    bore,
    stroke,
  },
  result: cylinderVolumeTerm,
  source: 'definition',
});

/** Swept volume (m³) of the engine. */
export const displacement = formula({
  id: 'displacement',
  title: 'Displacement',
  expression: 'z · V',
  terms: { cylinders, cylinderVolume: cylinderVolumeTerm },
  result: displacementTerm,
  source: 'definition',
});

/** Mean piston speed (m/s) from stroke (m) and crank speed (rpm). Heywood eq. 2.9. */
export const meanPistonSpeed = formula({
  id: 'mean-piston-speed',
  title: 'Mean piston speed',
  expression: '2 · S · n / 60',
  terms: { stroke, speed },
  result: { symbol: 'c_m', label: 'mean piston speed', unit: 'm/s' },
  source: 'heywood-eq-2.9',
});

/**
 * Time (s) of one cycle: two crankshaft revolutions (four-stroke) or one (two-stroke). Infinite at standstill.
 */
export const cycleTime = formula({
  id: 'cycle-time',
  title: 'Cycle time',
  expression: 'r · 60 / n',
  terms: { revolutions, speed },
  result: { symbol: 't_c', label: 'cycle time', unit: 's', show: 'ms' },
  source: 'crank',
});

/**
 * Air mass (kg) per cylinder and cycle: volumetric efficiency (ratio, of manifold density),
 * manifold pressure (Pa), cylinder volume (m³) and charge temperature (K). Dry air, R = 287.05 J/(kg K).
 * Heywood eq. 2.27.
 */
export const airMassPerCycle = formula({
  id: 'air-mass-per-cycle',
  title: 'Air mass per cylinder and cycle',
  expression: 'VE · p_m · V / (R · T_c)',
  terms: {
    volumetricEfficiency: {
      symbol: 'VE',
      label: 'volumetric efficiency',
      unit: '',
      show: '%',
      valid: [0, 2],
    },
    manifoldPressure,
    cylinderVolume: cylinderVolumeTerm,
    chargeTemperature: { symbol: 'T_c', label: 'charge temperature', unit: 'K', valid: [200, 600] },
  },
  constants: [{ symbol: 'R', value: GAS_CONSTANT_OF_AIR, unit: 'J/(kg K)' }],
  result: { symbol: 'm_a', label: 'air mass', unit: 'kg', show: 'mg' },
  source: 'heywood-eq-2.27',
});

/** Power (W) from fuel flow (kg/s) at a brake specific consumption (kg/J). Heywood section 2.8. */
export const estimatedPower = formula({
  id: 'estimated-power',
  title: 'Estimated power',
  expression: 'm_f / b',
  terms: { fuelFlow, specificConsumption: consumption },
  result: power,
  source: 'heywood-sec-2.8',
});

/**
 * Brake mean effective pressure (Pa) from power (W), revolutions per cycle, displacement (m³) and speed (rpm).
 * Heywood 2.19.
 */
export const brakeMeanEffectivePressure = formula({
  id: 'brake-mean-effective-pressure',
  title: 'Brake mean effective pressure',
  expression: 'P · r · 60 / (V_d · n)',
  terms: { power, revolutions, displacement: displacementTerm, speed },
  result: { symbol: 'p_me', label: 'brake mean effective pressure', unit: 'Pa', show: 'bar' },
  source: 'heywood-eq-2.19',
});

/** Torque (N m) at the crank from power (W) and speed (rpm). */
export const crankTorque = formula({
  id: 'crank-torque',
  title: 'Crankshaft torque',
  expression: 'P · 60 / (2 · π · n)',
  terms: { power, speed },
  result: { symbol: 'M', label: 'torque', unit: 'Nm' },
  source: 'heywood-eq-2.13',
});

/** Share of the fuel's lower heating value (J/kg) that reaches the crank at a specific consumption (kg/J). */
export const brakeThermalEfficiency = formula({
  id: 'brake-thermal-efficiency',
  title: 'Brake thermal efficiency',
  expression: '1 / (b · H_u)',
  terms: {
    specificConsumption: consumption,
    heatingValue: {
      symbol: 'H_u',
      label: 'lower heating value',
      unit: 'J/kg',
      show: 'MJ/kg',
      valid: [1e7, 5e7],
    },
  },
  result: { symbol: 'η_e', label: 'brake thermal efficiency', unit: '', show: '%' },
  source: 'heywood-sec-2.8',
});
