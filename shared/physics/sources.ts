import type { Source } from './source.ts';
import { electricalSources } from './sources-electrical.ts';
import { fuelSources } from './sources-fuel.ts';
import { measuredSources } from './sources-measured.ts';

export type { Provenance, Source } from './source.ts';

const heywood = {
  author: 'J. B. Heywood',
  title: 'Internal Combustion Engine Fundamentals',
  year: 1988,
  kind: 'from memory',
} as const;

const iso2533 = {
  author: 'ISO 2533',
  title: 'Standard Atmosphere',
  year: 1975,
  kind: 'from memory',
  note: 'the table of the identical ICAO Doc 7488/3 (1993) was read, as transcribed in github.com/airinnova/ambiance; results agree to its printed digits',
} as const;

/** Every source that formulas and values name, by key: one entry for each equation, section or table. */
export const sources = {
  definition: {
    title: 'The formula is the definition',
    kind: 'definition',
  },
  rearranged: {
    title: 'Rearranged from formulas that have their own sources',
    kind: 'computed',
  },
  'iso-2533-sec-2.6': { ...iso2533, where: 'section 2.6, temperature' },
  'iso-2533-sec-2.7': { ...iso2533, where: 'section 2.7, pressure' },
  'iso-2533-sec-2.8': { ...iso2533, where: 'section 2.8, density' },
  'iso-2533-sec-2.10': {
    ...iso2533,
    where: 'section 2.10, speed of sound',
    note: 'the tabulated 340.294 m/s at sea level and 295.069 m/s at 11 km are reproduced to their printed digits',
  },
  'helical-tip-speed': {
    author: '14 CFR part 36',
    title: 'Noise Standards: Aircraft Type and Airworthiness Certification',
    where: 'appendix G, section G36.201, helical tip Mach number',
    kind: 'from memory',
    note: 'the vector sum of rotational tip speed and true airspeed, over the speed of sound; only excerpts were read',
  },
  'propeller-power-coefficient': {
    author: 'B. W. McCormick',
    title: 'Aerodynamics, Aeronautics, and Flight Mechanics',
    where: 'propeller power coefficient, P = C_P · ρ · n³ · D⁵',
    kind: 'from memory',
    note: 'the coefficient is that of the rated point; in faster flight a propeller of fixed pitch absorbs less',
  },
  'heywood-eq-2.9': {
    ...heywood,
    where: 'equation 2.9, mean piston speed',
    note: 'a worked example was read, and the tests repeat it',
  },
  'heywood-eq-2.13': {
    ...heywood,
    where: 'equation 2.13, power and torque',
    note: 'a worked example was read, and the tests repeat it',
  },
  'heywood-eq-2.19': {
    ...heywood,
    where: 'equation 2.19, mean effective pressure',
    note: 'a worked example was read, and the tests repeat it',
  },
  'heywood-eq-2.27': {
    ...heywood,
    where: 'equation 2.27, volumetric efficiency, referred to the density in the manifold',
    note: 'R = 287.05 J/(kg K) is for dry air; the same volume of humid air has less mass',
  },
  'heywood-sec-2.8': { ...heywood, where: 'section 2.8, specific fuel consumption and efficiency' },
  'heywood-sec-6.8': {
    ...heywood,
    where: 'section 6.8, isentropic efficiency of a compressor',
    note: 'perfect gas of constant heat capacity; γ = 1.4 for air as in ISO 2533',
  },
  effectiveness: {
    title: 'Definition of heat exchanger effectiveness: heat transferred relative to the maximum possible',
    kind: 'definition',
    note: 'the charge is taken to be the stream with the smaller heat capacity',
  },
  pressures: {
    title: 'Definitions of absolute pressure, gauge pressure and pressure ratio',
    kind: 'definition',
    note: 'duct and intercooler losses are taken as constant',
  },
  crank: {
    title: 'Definition of engine cycle and speed',
    kind: 'definition',
    note: 'a four-stroke cycle is two revolutions, a two-stroke cycle one; 1 rpm is 6 degrees per second; even firing',
  },
  'iso-5167-1': {
    author: 'ISO 5167-1',
    title: 'Measurement of fluid flow by means of pressure differential devices',
    year: 2022,
    where: 'equation 1, flow through an orifice',
    kind: 'from memory',
    note: 'the same discharge coefficient is taken at both pressures and for both fluids',
  },
  'sae-j1832': {
    author: 'SAE J1832',
    title: 'Low Pressure Gasoline Fuel Injector',
    year: 2001,
    where: 'linear flow range: dynamic flow from static flow, pulse width and time offset',
    kind: 'from memory',
    note: 'only its list of terms was read; the dead time is taken as the time offset',
  },
  'alexander-sec-6.4': {
    author: 'C. K. Alexander and M. N. O. Sadiku',
    title: 'Fundamentals of Electric Circuits',
    where: 'section 6.4, energy stored in an inductor',
    kind: 'from memory',
    note: 'constant inductance, no saturation; a worked example was read, and the tests repeat it',
  },
  'alexander-sec-7.6': {
    author: 'C. K. Alexander and M. N. O. Sadiku',
    title: 'Fundamentals of Electric Circuits',
    where: 'section 7.6, step response of an RL circuit',
    kind: 'from memory',
    note: 'constant inductance, no saturation, no drop across the driver; a worked example was read, and the tests repeat it',
  },
  'naca-493': {
    author: 'C. S. Draper, NACA Report 493',
    title: 'The Physical Effects of Detonation in a Closed Cylindrical Chamber',
    year: 1934,
    where: 'resonances of a cylinder of gas',
    kind: 'from memory',
    note: 'the first zero of J₁′, 1.84118, was recomputed',
  },
  'burned-gas-sound': {
    title: 'Speed of sound in burned gas, 950 m/s',
    kind: 'common practice',
    note: '√(γ·R·T) is 947 m/s with γ = 1.25, R = 287.05 J/(kg K) and T = 2500 K; values from 850 to 980 m/s are in use; a measured spectrum is better',
  },
  'usual-advance': {
    title: 'Usual reduction of advance with boost and compression ratio',
    kind: 'common practice',
    note: 'a trend that finds errors; it does not give the right advance for any engine',
  },
  ...fuelSources,
  ...measuredSources,
  ...electricalSources,
} as const satisfies Record<string, Source>;

export type SourceKey = keyof typeof sources;
