import { formula } from './formula.ts';

/** Constants of ISO 2533:1975, including its own gas constant, which differs from the current one. */
const GRAVITY = 9.80665;
const GAS_CONSTANT = 287.05287;
export const SEA_LEVEL_PRESSURE = 101325;
const SEA_LEVEL_TEMPERATURE = 288.15;
const LAPSE_RATE = 0.0065;
const TROPOPAUSE_ALTITUDE = 11000;
const TROPOPAUSE_TEMPERATURE = SEA_LEVEL_TEMPERATURE - LAPSE_RATE * TROPOPAUSE_ALTITUDE;
const TROPOSPHERE_EXPONENT = GRAVITY / (GAS_CONSTANT * LAPSE_RATE);
const TROPOPAUSE_PRESSURE_RATIO = (TROPOPAUSE_TEMPERATURE / SEA_LEVEL_TEMPERATURE) ** TROPOSPHERE_EXPONENT;

const g = { symbol: 'g', value: GRAVITY, unit: 'm/s2' };
const R = { symbol: 'R', value: GAS_CONSTANT, unit: 'J/(kg K)' };
const L = { symbol: 'L', value: LAPSE_RATE, unit: 'K/m' };
const p0 = { symbol: 'p₀', value: SEA_LEVEL_PRESSURE, unit: 'Pa' };
const T0 = { symbol: 'T₀', value: SEA_LEVEL_TEMPERATURE, unit: 'K' };
const T11 = { symbol: 'T₁₁', value: TROPOPAUSE_TEMPERATURE, unit: 'K' };
const H11 = { symbol: 'H₁₁', value: TROPOPAUSE_ALTITUDE, unit: 'm' };
const delta11 = { symbol: 'δ₁₁', value: TROPOPAUSE_PRESSURE_RATIO, unit: '' };

const altitude = {
  symbol: 'H',
  label: 'pressure altitude',
  unit: 'm',
  show: 'ft',
  valid: [-5000, 20000],
} as const;

const ambientPressureTerm = { symbol: 'p', label: 'ambient pressure', unit: 'Pa', show: 'kPa abs' } as const;

/**
 * Ambient temperature (K) at a pressure altitude (m), standard atmosphere with a deviation (K) added at every
 * altitude. Constant above 11 km. ISO 2533:1975, −5 to 20 km.
 */
export const ambientTemperature = formula({
  id: 'ambient-temperature',
  title: 'Ambient temperature',
  expression: 'max(T₀ − L · H, T₁₁) + ΔT',
  terms: {
    altitude,
    deviation: { symbol: 'ΔT', label: 'deviation from standard temperature', unit: 'K', valid: [-60, 60] },
  },
  constants: [T0, L, T11],
  result: { symbol: 'T₁', label: 'ambient temperature', unit: 'K', show: '°C' },
  source: 'iso-2533-sec-2.6',
});

/**
 * Ambient pressure (Pa) at a pressure altitude (m). It does not depend on temperature: this relation defines
 * pressure altitude. ISO 2533:1975, −5 to 20 km.
 */
export const ambientPressure = formula({
  id: 'ambient-pressure',
  title: 'Ambient pressure',
  expression: 'p₀ · (max(T₀ − L · H, T₁₁) / T₀)^(g / (R · L)) · exp(−g · max(0, H − H₁₁) / (R · T₁₁))',
  terms: { altitude },
  constants: [p0, T0, L, T11, g, R, H11],
  result: ambientPressureTerm,
  source: 'iso-2533-sec-2.7',
});

/**
 * Pressure altitude (m) of an ambient pressure (Pa), the inverse of `ambientPressure`. ISO 2533:1975, from
 * 177 687 Pa (−5 km) to 5474.9 Pa (20 km).
 */
export const altitudeForPressure = formula({
  id: 'altitude-for-pressure',
  title: 'Pressure altitude',
  expression: 'T₀ / L · (1 − max(p / p₀, δ₁₁)^(R · L / g)) + R · T₁₁ / g · ln(max(1, δ₁₁ · p₀ / p))',
  terms: { pressure: { ...ambientPressureTerm, valid: [5475, 177000] } },
  constants: [T0, L, p0, delta11, R, g, T11],
  result: altitude,
  source: 'iso-2533-sec-2.7',
});

/** Density (kg/m³) of dry air at a pressure (Pa) and a temperature (K). Perfect gas, ISO 2533:1975. */
export const airDensity = formula({
  id: 'air-density',
  title: 'Air density',
  expression: 'p / (R · T)',
  terms: {
    pressure: {
      symbol: 'p',
      label: 'pressure',
      unit: 'Pa',
      show: 'kPa abs',
      valid: [1000, 500000],
    },
    temperature: { symbol: 'T', label: 'temperature', unit: 'K', valid: [150, 700] },
  },
  constants: [R],
  result: { symbol: 'ρ', label: 'air density', unit: 'kg/m3' },
  source: 'iso-2533-sec-2.8',
});
