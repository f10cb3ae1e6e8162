import { formula } from './formula.ts';
import { speed } from './terms.ts';

const propellerSpeed = {
  symbol: 'n_p',
  label: 'propeller speed',
  unit: 'rpm',
  valid: [50, 20000],
} as const;
const power = { symbol: 'P', label: 'power', unit: 'W', show: 'kW', valid: [0, 5e6] } as const;
const ratedPower = { ...power, symbol: 'P_r', label: 'rated power' } as const;
const ratedSpeed = { ...speed, symbol: 'n_r', label: 'rated speed' } as const;
const density = { symbol: 'ρ', label: 'air density', unit: 'kg/m3', valid: [0, 5] } as const;
const tipSpeed = { symbol: 'v_t', label: 'tip speed', unit: 'm/s', valid: [0, 1000] } as const;
const soundSpeed = { symbol: 'a', label: 'speed of sound', unit: 'm/s', valid: [200, 450] } as const;

/** Air density (kg/m³) at sea level of the standard atmosphere, at which the propeller absorbs rated power. */
const rho0 = { symbol: 'ρ₀', value: 1.225, unit: 'kg/m3', source: 'iso-2533-sec-2.8' } as const;

/** Propeller speed (rpm) from crank speed (rpm) and crank revolutions per propeller revolution. */
export const propellerSpeedOf = formula({
  id: 'propeller-speed',
  title: 'Propeller speed',
  expression: 'n / i',
  terms: { speed, ratio: { symbol: 'i', label: 'reduction ratio', unit: '', valid: [0.2, 20] } },
  result: propellerSpeed,
  source: 'definition',
});

/** Torque (N m) at the propeller shaft from crankshaft power (W), gearbox efficiency and propeller speed (rpm). */
export const gearboxTorqueOf = formula({
  id: 'gearbox-torque',
  title: 'Gearbox torque at the propeller shaft',
  expression: 'P · η · 60 / (2 · π · n_p)',
  terms: {
    power,
    efficiency: { symbol: 'η', label: 'gearbox efficiency', unit: '', show: '%', valid: [0, 1] },
    propellerSpeed,
  },
  result: { symbol: 'M_p', label: 'torque at the propeller shaft', unit: 'Nm' },
  source: 'heywood-eq-2.13',
});

/** Speed (m/s) of a blade tip along its helix from diameter (m), propeller speed (rpm) and true airspeed (m/s). */
export const tipSpeedOf = formula({
  id: 'propeller-tip-speed',
  title: 'Propeller tip speed',
  expression: '√((π · D · n_p / 60)^2 + v^2)',
  terms: {
    diameter: { symbol: 'D', label: 'propeller diameter', unit: 'm', valid: [0.1, 10] },
    propellerSpeed,
    airspeed: { symbol: 'v', label: 'true airspeed', unit: 'm/s', valid: [0, 400] },
  },
  result: tipSpeed,
  source: 'helical-tip-speed',
});

/** Speed of sound (m/s) in air of a temperature (K). ISO 2533:1975, with its gas constant. */
export const speedOfSound = formula({
  id: 'speed-of-sound',
  title: 'Speed of sound in air',
  expression: '√(γ · R · T)',
  terms: { temperature: { symbol: 'T', label: 'ambient temperature', unit: 'K', valid: [150, 400] } },
  constants: [
    { symbol: 'γ', value: 1.4, unit: '' },
    { symbol: 'R', value: 287.05287, unit: 'J/(kg K)' },
  ],
  result: soundSpeed,
  source: 'iso-2533-sec-2.10',
});

/** Mach number of a blade tip from its speed and the speed of sound (m/s). */
export const tipMachOf = formula({
  id: 'propeller-tip-mach',
  title: 'Mach number of the propeller tips',
  expression: 'v_t / a',
  terms: { tipSpeed, soundSpeed },
  result: { symbol: 'Ma', label: 'tip Mach number', unit: '' },
  source: 'helical-tip-speed',
});

/** Frequency (Hz) at which blades pass a fixed place, from propeller speed (rpm) and number of blades. */
export const bladePassingFrequencyOf = formula({
  id: 'blade-passing-frequency',
  title: 'Blade passing frequency',
  expression: 'b · n_p / 60',
  terms: { blades: { symbol: 'b', label: 'blades', unit: '', valid: [1, 12] }, propellerSpeed },
  result: { symbol: 'f_b', label: 'blade passing frequency', unit: 'Hz' },
  source: 'definition',
});

/**
 * Power (W) that a propeller of fixed pitch absorbs at a crank speed (rpm) and air density (kg/m³), if it absorbs rated
 * power (W) at rated speed (rpm) at sea level. Constant power coefficient, so the same advance ratio.
 */
export const absorbedPowerOf = formula({
  id: 'propeller-absorbed-power',
  title: 'Power absorbed by a propeller of fixed pitch',
  expression: 'P_r · (n / n_r)^3 · ρ / ρ₀',
  terms: { ratedPower, speed, ratedSpeed, density },
  constants: [rho0],
  result: { ...power, symbol: 'P_p', label: 'absorbed power' },
  source: 'propeller-power-coefficient',
});

/** Crank speed (rpm) at which a propeller of fixed pitch absorbs a power (W), the inverse of `absorbedPowerOf`. */
export const balanceSpeedOf = formula({
  id: 'propeller-balance-speed',
  title: 'Speed at which the propeller absorbs the power',
  expression: 'n_r · (P · ρ₀ / (P_r · ρ))^(1 / 3)',
  terms: { ratedSpeed, power, ratedPower, density: { ...density, valid: [0.05, 5] } },
  constants: [rho0],
  result: { ...speed, symbol: 'n_b', label: 'balance speed' },
  source: 'propeller-power-coefficient',
});
