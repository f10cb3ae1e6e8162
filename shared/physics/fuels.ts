import { formula } from './formula.ts';
import type { SourceKey } from './sources.ts';
import { lambda } from './terms.ts';

/** Conventional atomic masses, g/mol, and dry air: share of oxygen by volume, molar mass. */
const CARBON = 12.011;
const HYDROGEN = 1.008;
const OXYGEN = 15.999;
const OXYGEN_IN_AIR = 0.20946;
const AIR = 28.9647;

const atoms = { unit: '', valid: [0, 30] } as const;
const density = { unit: 'kg/m3', show: 'kg/L', valid: [600, 1000] } as const;
const ethanolVolume = {
  symbol: 'φ',
  label: 'volume fraction of ethanol',
  unit: '',
  show: '%',
  valid: [0, 1],
} as const;
const ethanolMass = {
  symbol: 'w',
  label: 'mass fraction of ethanol',
  unit: '',
  show: '%',
  valid: [0, 1],
} as const;

/**
 * Stoichiometric air-fuel ratio by mass of a fuel with c carbon, h hydrogen and o oxygen atoms that burns to carbon
 * dioxide and water in dry air.
 */
export const stoichiometricRatio = formula({
  id: 'stoichiometric-ratio',
  title: 'Stoichiometric ratio',
  expression: '(c + h / 4 − o / 2) / x_O · M_air / (M_C · c + M_H · h + M_O · o)',
  terms: {
    carbon: { symbol: 'c', label: 'carbon atoms', unit: '', valid: [1, 30] },
    hydrogen: { ...atoms, symbol: 'h', label: 'hydrogen atoms' },
    oxygen: { ...atoms, symbol: 'o', label: 'oxygen atoms' },
  },
  constants: [
    { symbol: 'x_O', value: OXYGEN_IN_AIR, unit: '', source: 'dry-air' },
    { symbol: 'M_air', value: AIR, unit: 'g/mol', source: 'dry-air' },
    { symbol: 'M_C', value: CARBON, unit: 'g/mol', source: 'atomic-masses' },
    { symbol: 'M_H', value: HYDROGEN, unit: 'g/mol', source: 'atomic-masses' },
    { symbol: 'M_O', value: OXYGEN, unit: 'g/mol', source: 'atomic-masses' },
  ],
  result: { symbol: 'AFR', label: 'stoichiometric ratio', unit: '' },
  source: 'heywood-sec-3.4',
});

/** Air-fuel ratio by mass at a lambda. */
export const airFuelRatio = formula({
  id: 'air-fuel-ratio',
  title: 'Air-fuel ratio',
  expression: 'λ · L_st',
  terms: {
    lambda,
    stoichiometricRatio: { symbol: 'L_st', label: 'stoichiometric ratio', unit: '', valid: [1, 40] },
  },
  result: { symbol: 'AFR', label: 'air-fuel ratio', unit: '' },
  source: 'definition',
});

/** Mass share of ethanol in a blend, from its volume share before mixing and the two densities (kg/m³). */
export const ethanolMassFraction = formula({
  id: 'ethanol-mass-fraction',
  title: 'Mass fraction of ethanol',
  expression: 'φ · ρ_e / (φ · ρ_e + (1 − φ) · ρ_g)',
  terms: {
    volumeFraction: ethanolVolume,
    ethanolDensity: { ...density, symbol: 'ρ_e', label: 'density of ethanol' },
    gasolineDensity: { ...density, symbol: 'ρ_g', label: 'density of gasoline' },
  },
  result: ethanolMass,
  source: 'ideal-mixing',
});

/** Density (kg/m³) of a blend whose volumes add. */
export const blendDensity = formula({
  id: 'blend-density',
  title: 'Density of a blend',
  expression: 'φ · ρ_e + (1 − φ) · ρ_g',
  terms: ethanolMassFraction.terms,
  result: { symbol: 'ρ', label: 'density', unit: 'kg/m3', show: 'kg/L' },
  source: 'ideal-mixing',
});

/**
 * A property of a blend that is stated per mass (stoichiometric ratio, heating value), in the property's own unit.
 */
export const blendByMass = formula({
  id: 'blend-by-mass',
  title: 'Property of a blend by mass',
  expression: 'w · X_e + (1 − w) · X_g',
  terms: {
    massFraction: ethanolMass,
    ethanol: { symbol: 'X_e', label: 'property of ethanol', unit: '', valid: [0, 1e8] },
    gasoline: { symbol: 'X_g', label: 'property of gasoline', unit: '', valid: [0, 1e8] },
  },
  result: { symbol: 'X', label: 'property of the blend', unit: '' },
  source: 'ideal-mixing',
});

interface Properties {
  /** kg/m³ at about 15 °C. */
  readonly density: number;
  /** Air to fuel by mass. */
  readonly stoichiometricRatio: number;
  /** J/kg. */
  readonly lowerHeatingValue: number;
}

export interface Grade extends Properties {
  readonly title: string;
  /** Where each property comes from; of a stoichiometric ratio, the composition that it is computed from. */
  readonly sources: Readonly<Record<keyof Properties, SourceKey>>;
}

const gasoline: Grade = {
  title: 'motor gasoline without ethanol',
  density: 745,
  stoichiometricRatio: stoichiometricRatio({ carbon: 1, hydrogen: 1.87, oxygen: 0 }),
  lowerHeatingValue: 43.44e6,
  sources: {
    density: 'afdc-properties',
    stoichiometricRatio: 'heywood-table-d.4',
    lowerHeatingValue: 'afdc-properties',
  },
};

const ethanol: Grade = {
  title: 'ethanol',
  density: 793.7,
  stoichiometricRatio: stoichiometricRatio({ carbon: 2, hydrogen: 6, oxygen: 1 }),
  lowerHeatingValue: 26.947e6,
  sources: {
    density: 'ethanol-density',
    stoichiometricRatio: 'atomic-masses',
    lowerHeatingValue: 'afdc-properties',
  },
};

function blend(title: string, volumeFraction: number): Grade {
  const parts = { volumeFraction, ethanolDensity: ethanol.density, gasolineDensity: gasoline.density };
  const massFraction = ethanolMassFraction(parts);
  const byMass = (property: 'stoichiometricRatio' | 'lowerHeatingValue') =>
    blendByMass({ massFraction, ethanol: ethanol[property], gasoline: gasoline[property] });
  return {
    title,
    density: blendDensity(parts),
    stoichiometricRatio: byMass('stoichiometricRatio'),
    lowerHeatingValue: byMass('lowerHeatingValue'),
    sources: {
      density: 'ideal-mixing',
      stoichiometricRatio: 'ideal-mixing',
      lowerHeatingValue: 'ideal-mixing',
    },
  };
}

/**
 * Alkylate with some aromatics, a hydrocarbon of about CH₂.₀₅. The heating value is the specification's minimum.
 */
const avgas = {
  density: 721,
  stoichiometricRatio: stoichiometricRatio({ carbon: 1, hydrogen: 2.05, oxygen: 0 }),
  lowerHeatingValue: 43.5e6,
};

/**
 * The properties of each grade where the file does not state its own. Real fuels vary: gasoline by about 3 % in
 * density and 1 % in stoichiometric ratio. Blends contain the highest share of ethanol that their name allows.
 */
export const grades = {
  'mogas-e0': gasoline,
  'mogas-e5': blend('motor gasoline with 5 % ethanol by volume', 0.05),
  'mogas-e10': blend('motor gasoline with 10 % ethanol by volume', 0.1),
  e85: blend('85 % ethanol and 15 % gasoline by volume', 0.85),
  'avgas-100ll': {
    title: 'leaded aviation gasoline, grade 100LL',
    ...avgas,
    sources: {
      density: 'avgas-density',
      stoichiometricRatio: 'astm-d910',
      lowerHeatingValue: 'astm-d910',
    },
  },
  ul91: {
    title: 'unleaded aviation gasoline, grade UL 91',
    ...avgas,
    sources: {
      density: 'astm-d7547',
      stoichiometricRatio: 'astm-d7547',
      lowerHeatingValue: 'astm-d7547',
    },
  },
  ethanol,
  methanol: {
    title: 'methanol',
    density: 794.3,
    stoichiometricRatio: stoichiometricRatio({ carbon: 1, hydrogen: 4, oxygen: 1 }),
    lowerHeatingValue: 20.09e6,
    sources: {
      density: 'afdc-properties',
      stoichiometricRatio: 'atomic-masses',
      lowerHeatingValue: 'afdc-properties',
    },
  },
} as const satisfies Record<string, Grade>;

export type GradeName = keyof typeof grades;
