import type { Source } from './source.ts';

/** Where the properties of fuels and of combustion air come from: one part of the list in `sources.ts`. */
export const fuelSources = {
  'heywood-sec-3.4': {
    author: 'J. B. Heywood',
    title: 'Internal Combustion Engine Fundamentals',
    year: 1988,
    where: 'section 3.4, combustion stoichiometry',
    kind: 'from memory',
    note: 'the air in this source has 3.773 N₂ per O₂, which changes the ratios by up to 0.3 %',
  },
  'heywood-table-d.4': {
    author: 'J. B. Heywood',
    title: 'Internal Combustion Engine Fundamentals',
    year: 1988,
    where: 'table D.4, gasoline as CH₁.₈₇',
    kind: 'from memory',
    note: 'gasoline varies between about CH₁.₈₅ and CH₁.₉₀',
  },
  'atomic-masses': {
    author: 'IUPAC',
    title: 'Standard atomic weights, conventional values',
    year: 2021,
    where: 'H 1.008, C 12.011, O 15.999',
    kind: 'from memory',
  },
  'dry-air': {
    title: 'Dry air: 20.946 % oxygen by volume, 28.9647 g/mol',
    kind: 'from memory',
    note: 'widely reproduced figures, no single document',
  },
  'ideal-mixing': {
    title: 'Definition of an ideal mixture of the gasoline and the ethanol listed here: volumes add',
    kind: 'definition',
    note: 'the volume of real blends is less than 0.3 % larger; from memory',
  },
  'afdc-properties': {
    author: 'US Department of Energy, Alternative Fuels Data Center',
    title: 'Properties of Fuels',
    where: 'lower heating value in Btu/lb and Btu/gal',
    kind: 'published',
    note: 'read from stored copies; the density is the quotient of the two columns',
  },
  'ethanol-density': {
    title: 'Density of ethanol at 15 °C, 0.7937 kg/L',
    kind: 'from memory',
    note: 'the Alternative Fuels Data Center prints 6.61 lb/gal at 60 °F, 0.2 % less',
  },
  'astm-d910': {
    author: 'ASTM D910',
    title: 'Standard Specification for Leaded Aviation Gasolines',
    where: 'grade 100LL, net heat of combustion of at least 43.5 MJ/kg',
    kind: 'from memory',
    note: 'composition taken as CH₂.₀₅, between alkylate CH₂.₂₅ and its aromatic part',
  },
  'avgas-density': {
    author: 'Wikipedia',
    title: 'Avgas',
    where: 'section Properties, 6.01 lb/gal or 0.721 kg/L at 15 °C',
    kind: 'published',
    note: 'an encyclopaedia; a typical value, as the specification does not limit density',
  },
  'astm-d7547': {
    author: 'ASTM D7547',
    title: 'Standard Specification for Hydrocarbon Unleaded Aviation Gasoline',
    where: 'grade UL 91, net heat of combustion of at least 43.5 MJ/kg',
    kind: 'from memory',
    note: 'density and composition are not specified, so those of 100LL are used; measure your fuel and state its own values',
  },
} as const satisfies Record<string, Source>;
