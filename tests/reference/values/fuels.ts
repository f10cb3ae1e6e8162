import * as fuels from '../../../shared/physics/fuels.ts';
import { outsideValue } from '../outside-value.ts';

const AFDC =
  'published: U.S. DOE Alternative Fuels Data Center, fuel property comparison, stoichiometric air/fuel';
const ULTIMATE = 'computed: by mass fractions instead of moles in Python 3.11, IUPAC 2021 masses';
const BLENDS =
  'computed: ideal mixing of gasoline 0.745 kg/L (CH1.87) and ethanol 0.7937 kg/L in Python 3.11';
const ARITHMETIC = 'computed: by hand';
const POWER = 'from memory: gasoline makes most power at 12.5 to 1, which is lambda 0.85';

/** Carbon, hydrogen, oxygen atoms, air to fuel by mass. */
const ratioRows = [
  [8, 18, 0, 15.1318],
  [7, 8, 0, 13.507],
  [1, 1.87, 0, 14.6035],
  [2, 6, 1, 9.0049],
  [1, 4, 1, 6.4735],
  [1, 4, 0, 17.239],
] as const;

/** Ethanol by volume, by mass, density (kg/m³), air to fuel by mass. */
const blendRows = [
  [0.05, 0.053095, 747.44, 14.3063],
  [0.1, 0.105845, 749.87, 14.0109],
  [0.85, 0.857896, 786.39, 9.8005],
  [1, 1, 793.7, 9.0049],
] as const;

const densities = { ethanolDensity: 793.7, gasolineDensity: 745 };

export const fuelValues = [
  outsideValue(fuels.stoichiometricRatio, { carbon: 2, hydrogen: 6, oxygen: 1 }, 9, 1e-2, AFDC),
  outsideValue(fuels.stoichiometricRatio, { carbon: 1, hydrogen: 1.87, oxygen: 0 }, 14.7, 1e-2, AFDC),
  ...ratioRows.map(([carbon, hydrogen, oxygen, ratio]) =>
    outsideValue(fuels.stoichiometricRatio, { carbon, hydrogen, oxygen }, ratio, 1e-5, ULTIMATE),
  ),
  ...blendRows.flatMap(([volumeFraction, massFraction, density, ratio]) => [
    outsideValue(fuels.ethanolMassFraction, { volumeFraction, ...densities }, massFraction, 1e-5, BLENDS),
    outsideValue(fuels.blendDensity, { volumeFraction, ...densities }, density, 1e-5, BLENDS),
    outsideValue(
      fuels.blendByMass,
      { massFraction, ethanol: 9.0049, gasoline: 14.6035 },
      ratio,
      1e-5,
      BLENDS,
    ),
  ]),
  outsideValue(fuels.airFuelRatio, { lambda: 0.85, stoichiometricRatio: 14.7 }, 12.495, 1e-12, ARITHMETIC),
  outsideValue(fuels.airFuelRatio, { lambda: 1.05, stoichiometricRatio: 9 }, 9.45, 1e-12, ARITHMETIC),
  outsideValue(fuels.airFuelRatio, { lambda: 0.85, stoichiometricRatio: 14.7 }, 12.5, 1e-2, POWER),
];
