import { electricalSources } from './sources-electrical.ts';

/**
 * How a source is known here: `published`, the document or a stored copy of it was read; `computed`, the
 * number follows from definitions that are written beside it; `from memory`, recalled, the document was not
 * at hand; `common practice`, what the trade does, without a document.
 */
export type Provenance = 'published' | 'computed' | 'from memory' | 'common practice';

export interface Source {
  readonly title: string;
  /** Person or body. */
  readonly author: string;
  readonly year?: number;
  /** Section, equation or table. */
  readonly where: string;
  readonly kind: Provenance;
  readonly note?: string;
}

/** Everything that the physics stands on, cited by key. */
export const sources = {
  'iso-2533': {
    title: 'Standard Atmosphere',
    author: 'ISO 2533',
    year: 1975,
    where: 'constants and the temperature and pressure of the layers up to 20 km',
    kind: 'from memory',
    note: 'the identical ICAO Doc 7488/3 was read and its table is met to the printed digits',
  },
  'icao-7488': {
    title: 'Manual of the ICAO Standard Atmosphere',
    author: 'ICAO Doc 7488/3',
    year: 1993,
    where: 'table of temperature, pressure and density against geopotential altitude',
    kind: 'published',
    note: 'read as transcribed in the test data of github.com/airinnova/ambiance',
  },
  'isentropic-efficiency': {
    title: 'Internal Combustion Engine Fundamentals',
    author: 'J. B. Heywood',
    year: 1988,
    where: 'section 6.8, isentropic efficiency of a compressor; perfect gas of constant heat capacity',
    kind: 'from memory',
    note: 'the definition in every textbook of thermodynamics; γ = 1.4 is that of ISO 2533 for air',
  },
  'exchanger-effectiveness': {
    title: 'Effectiveness of a heat exchanger: heat given off over the most that could be',
    author: 'any textbook of heat transfer',
    where: 'definition, the charge being the stream of smaller heat capacity',
    kind: 'from memory',
  },
  'pressure-definitions': {
    title: 'Absolute, gauge and differential pressure',
    author: 'any textbook of fluid mechanics',
    where: 'definitions; the losses of ducts and exchanger taken as given',
    kind: 'from memory',
  },
  'plain-definition': {
    title: 'Sum, difference, ratio or lesser of stated values',
    author: 'definition',
    where: 'the formula says all',
    kind: 'computed',
  },
  'heywood-1988': {
    title: 'Internal Combustion Engine Fundamentals',
    author: 'J. B. Heywood',
    year: 1988,
    where:
      'chapter 2: equations 2.9 piston speed, 2.19 mean pressure, 2.22 specific consumption, 2.27 filling',
    kind: 'from memory',
    note: 'the worked examples that the tests repeat were read',
  },
  'heywood-combustion': {
    title: 'Internal Combustion Engine Fundamentals',
    author: 'J. B. Heywood',
    year: 1988,
    where: 'section 3.4 stoichiometry, table D.4 gasoline as CH₁.₈₇',
    kind: 'from memory',
    note: 'table D.4 by recollection; gasoline varies between about CH₁.₈₅ and CH₁.₉₀',
  },
  'atomic-masses': {
    title: 'Standard atomic weights, conventional values',
    author: 'IUPAC',
    year: 2021,
    where: 'H 1.008, C 12.011, O 15.999; dry air 20.946 % oxygen by volume, 28.9647 g/mol',
    kind: 'from memory',
  },
  'ideal-mixing': {
    title: 'Volumes add, and the parts are mixed by mass',
    author: 'definition of an ideal mixture',
    where: 'gasoline and ethanol in fact swell on mixing by less than 0.3 %',
    kind: 'from memory',
  },
  'afdc-properties': {
    title: 'Properties of Fuels',
    author: 'US Department of Energy, Alternative Fuels Data Center',
    where: 'lower heating value in Btu/lb and Btu/gal of gasoline, ethanol and methanol',
    kind: 'published',
    note: 'read as stored copies; the density is the quotient of the two columns',
  },
  'ethanol-density': {
    title: 'Density of ethanol at 15 °C, 0.7937 kg/L',
    author: 'handbook value',
    where: 'the same department prints 6.61 lb/gal at 60 °F, 0.2 % less',
    kind: 'from memory',
  },
  'astm-d910': {
    title: 'Standard Specification for Leaded Aviation Gasolines',
    author: 'ASTM D910',
    where: 'grade 100LL, net heat of combustion not below 43.5 MJ/kg',
    kind: 'from memory',
    note: 'composition modelled as CH₂.₀₅, between alkylate CH₂.₂₅ and its aromatic part',
  },
  'avgas-density': {
    title: 'Avgas',
    author: 'Wikipedia',
    where: 'section Properties: 6.01 lb/gal or 0.721 kg/L at 15 °C',
    kind: 'published',
    note: 'a typical value; the specification does not limit density',
  },
  'astm-d7547': {
    title: 'Standard Specification for Hydrocarbon Unleaded Aviation Gasoline',
    author: 'ASTM D7547',
    where: 'grade UL 91, net heat of combustion not below 43.5 MJ/kg',
    kind: 'from memory',
    note: 'density and composition are not specified: taken as for 100LL; measure and write your own',
  },
  'orifice-flow': {
    title: 'Flow through an orifice: velocity from the pressure drop, √(2·Δp/ρ)',
    author: 'Bernoulli; ISO 5167-1 uses the same form',
    year: 2022,
    where: 'discharge coefficient taken as the same at both pressures and for both fluids',
    kind: 'from memory',
  },
  'sae-j1832': {
    title: 'Low Pressure Gasoline Fuel Injector',
    author: 'SAE J1832',
    year: 2001,
    where: 'static flow, pulse width, period, and the straight line of dynamic flow with its time offset',
    kind: 'published',
    note: 'list of terms read; the dead time stands for the time offset',
  },
  'rl-circuit': {
    title: 'Step response of a coil with resistance, and the energy in its field',
    author: 'any textbook of electric circuits',
    where: 'first-order RL circuit; inductance constant, no saturation, no drop across the driver',
    kind: 'from memory',
    note: 'a worked example of Alexander and Sadiku, chapter 7, was read and is repeated in the tests',
  },
  'naca-493': {
    title: 'The Physical Effects of Detonation in a Closed Cylindrical Chamber',
    author: 'C. S. Draper, NACA Report 493',
    year: 1934,
    where: 'resonances of a cylinder of gas; first zero of J₁′ is 1.84118',
    kind: 'from memory',
    note: 'NACA ARR E6A07 (Moeckel and Evvard, 1946) uses the same relation; the zero was recomputed',
  },
  'burned-gas-sound': {
    title: 'Speed of sound in burned gas, taken as 950 m/s',
    author: 'trade',
    where: '√(γ·R·T) with γ = 1.25, R = 287.05 J/(kg K), T = 2500 K is 947 m/s',
    kind: 'common practice',
    note: '850 to 980 m/s are met; a measured spectrum is worth more than this figure',
  },
  'crank-kinematics': {
    title: 'Even firing: sparks, strokes and turns of the crank',
    author: 'definition',
    where: 'a four-stroke cycle is two turns, a two-stroke cycle one; 1 rpm is 6 degrees a second',
    kind: 'computed',
  },
  ...electricalSources,
} as const satisfies Record<string, Source>;

export type SourceKey = keyof typeof sources;
