import { differingIn, type Engine } from '../configuration/installation.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { brakeEfficiency } from '../derived/efficiency.ts';
import { fuelDensity } from '../derived/fuel.ts';
import { type GradeName, grades } from '../physics/fuels.ts';
import { replace } from '../source/edit.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { placesBehind } from './follows.ts';
import { passes } from './threshold.ts';
import { difference, formatQuantity, percent } from './words.ts';

interface Property {
  readonly key: 'density' | 'stoichiometric_ratio' | 'lower_heating_value';
  readonly property: 'density' | 'stoichiometricRatio' | 'lowerHeatingValue';
  readonly label: string;
  readonly unit: string;
}

/** Compares a fuel property that the file or a map set states with that of the grade. */
function* differsFromGrade(engines: readonly Engine[], what: Property, tolerance: number): Generator<Found> {
  for (const { configuration } of differingIn(engines, 'fuel')) {
    const { [what.key]: written, grade } = configuration.fuel ?? {};
    if (written && grade) yield* differing(written, grade, what, tolerance);
  }
}

function* differing(
  written: QuantityValue,
  grade: { text: GradeName; node: QuantityValue['node'] },
  { property, label, unit }: Property,
  tolerance: number,
): Generator<Found> {
  const usual = grades[grade.text][property];
  if (!passes(Math.abs(written.canonical / usual - 1), tolerance)) return;
  const text = formatQuantity(usual, unit, 4);
  yield {
    at: written.node,
    message: `${label} of ${written.node.text} differs by ${difference(written.canonical, usual)} from the ${text} of \`${grade.text}\`.`,
    related: [{ at: grade.node, message: 'The fuel grade.' }],
    cause: written.node,
    fixes: [
      {
        title: `Change to ${text}, the value of \`${grade.text}\``,
        safety: 'choice',
        edits: [{ span: written.node, text }],
      },
      ...gradesWith(written, property, tolerance).map((name) => ({
        title: `Change the grade to \`${name}\`, which has ${formatQuantity(grades[name][property], unit, 4)}`,
        safety: 'choice' as const,
        edits: [replace(grade.node, name)],
      })),
    ],
  };
}

/** The grades that have a property as written; more than two say nothing about what was meant. */
function gradesWith(
  { canonical }: QuantityValue,
  property: Property['property'],
  tolerance: number,
): GradeName[] {
  const names = Object.keys(grades) as GradeName[];
  const fitting = names.filter(
    (name) => !passes(Math.abs(canonical / grades[name][property] - 1), tolerance),
  );
  return fitting.length > 2 ? [] : fitting;
}

export const stoichiometricRatioDiffersFromGrade: Check = engineCheck({
  id: 'stoichiometric-ratio-differs-from-grade',
  severity: 'warning',
  title: 'Stoichiometric ratio does not match grade',
  page: {
    catches:
      'A stoichiometric ratio that differs from that of the fuel grade by more than real fuels of the grade vary.',
    why: 'Every fuel mass is an air mass divided by this ratio and by lambda. A wrong ratio makes the whole map lean or rich by the same percentage.',
    example: 'fuel:\n  grade: e85\n  stoichiometric_ratio: 14.7',
    remedy: 'Remove the key to use the value of the grade, or set the grade that is really in the tank.',
    basis:
      'Computed from the composition of the grade (C, H, O and atomic masses). The tolerance is common practice, no source.',
  },
  settings: {
    tolerance: { kind: 'ratio', value: '2 %', meaning: 'Variation among real fuels of one grade.' },
  },
  find: ({ installation: { engines } }, { tolerance }) =>
    differsFromGrade(
      engines,
      {
        key: 'stoichiometric_ratio',
        property: 'stoichiometricRatio',
        label: 'The stoichiometric ratio',
        unit: '',
      },
      tolerance,
    ),
});

export const densityDiffersFromGrade: Check = engineCheck({
  id: 'density-differs-from-grade',
  severity: 'warning',
  title: 'Density does not match grade',
  page: {
    catches:
      'A fuel density that differs from that of the fuel grade by more than real fuels of the grade vary.',
    why: 'Injectors meter volume but engines burn mass, so every pulse width depends on the density.',
    example: 'fuel:\n  grade: avgas-100ll\n  density: 0.79 kg/L',
    remedy: 'Remove the key to use the value of the grade, or write the measured density at 15 °C.',
    basis:
      'EN 228 allows 720 to 775 kg/m³ for motor gasoline (from memory), about 4 % to either side of the middle.',
  },
  settings: {
    tolerance: { kind: 'ratio', value: '4 %', meaning: 'Variation among real fuels of one grade.' },
  },
  find: ({ installation: { engines } }, { tolerance }) =>
    differsFromGrade(
      engines,
      { key: 'density', property: 'density', label: 'The density', unit: 'kg/L' },
      tolerance,
    ),
});

export const heatingValueDiffersFromGrade: Check = engineCheck({
  id: 'heating-value-differs-from-grade',
  severity: 'warning',
  title: 'Heating value does not match grade',
  page: {
    catches:
      'A lower heating value that differs from that of the fuel grade by more than real fuels of the grade vary.',
    why: 'Efficiency is judged by the heating value. A value of another fuel usually means that density and stoichiometric ratio are those of another fuel too.',
    example: 'fuel:\n  grade: mogas-e5\n  lower_heating_value: 29 MJ/kg   # that of e85',
    remedy: 'Remove the key to use the value of the grade, or set the grade that is really in the tank.',
    basis: 'The sources of each grade, named beside the value. The tolerance is common practice, no source.',
  },
  settings: {
    tolerance: { kind: 'ratio', value: '4 %', meaning: 'Variation among real fuels of one grade.' },
  },
  find: ({ installation: { engines } }, { tolerance }) =>
    differsFromGrade(
      engines,
      {
        key: 'lower_heating_value',
        property: 'lowerHeatingValue',
        label: 'The lower heating value',
        unit: 'MJ/kg',
      },
      tolerance,
    ),
});

export const testFluidDenserThanFuel: Check = engineCheck({
  id: 'test-fluid-denser-than-fuel',
  severity: 'warning',
  title: 'Test fluid denser than fuel',
  page: {
    catches: 'A `test_fluid_density` above the density of the fuel.',
    why: 'The usual test fluid, n-heptane, is lighter than every fuel. With a density that is too high the injectors seem to deliver more than they do, so every pulse is too short and the engine runs lean.',
    example: 'fuel:\n  grade: mogas-e5   # 0.747 kg/L\n  injectors: { test_fluid_density: 0.82 kg/L }',
    remedy:
      'Write the density of the fluid on the flow sheet. If the injectors were really tested with a denser fluid, accept the finding with that reason.',
    basis:
      'SAE J1832 tests injectors with n-heptane, 0.684 kg/L at 20 °C (from memory). Denser fluids are rare: common practice, no source.',
  },
  settings: {
    tolerance: { kind: 'ratio', value: '0 %', meaning: 'How much denser than the fuel the fluid may be.' },
  },
  *find({ installation: { engines } }, { tolerance }): Generator<Found> {
    for (const { configuration } of differingIn(engines, 'fuel')) {
      const fluid = configuration.fuel?.injectors?.test_fluid_density;
      const density = fuelDensity(configuration);
      if (!fluid || !density || !passes(fluid.canonical, density.canonical * (1 + tolerance))) continue;
      yield {
        at: fluid.node,
        message: `The test fluid of ${fluid.node.text} is denser than the fuel (${formatQuantity(density.canonical, 'kg/L', 3)}); n-heptane, 0.684 kg/L, is usual.`,
        cause: fluid.node,
      };
    }
  },
});

const isOfOtherFuel = (heat: QuantityValue, grade: GradeName): boolean =>
  Math.abs(heat.canonical / grades[grade].lowerHeatingValue - 1) > SAME_FUEL;

/** Variation of the heating value among fuels of one grade. */
const SAME_FUEL = 0.04;

export const specificConsumptionUnusual: Check = engineCheck({
  id: 'specific-consumption-unusual',
  severity: 'warning',
  title: 'Specific consumption implausible',
  page: {
    catches:
      'A specific consumption that, with the lower heating value of the fuel, means an efficiency that engines of this cycle do not have.',
    why: 'Estimated power is fuel flow divided by this number. Half the consumption means twice the power, and an efficiency that no engine has.',
    example: 'engine: { specific_consumption: 140 g/kWh }   # 59 % of the heat of mogas',
    remedy: 'Write the consumption of a measured run at rated power, in the unit in which it was measured.',
    basis:
      'Brake thermal efficiency (Heywood, section 2.8). The usual efficiencies at rated power are common practice, no source.',
  },
  settings: {
    highest: { kind: 'ratio', value: '38 %', meaning: 'Highest usual efficiency.' },
    four_stroke: {
      kind: 'ratio',
      value: '21 %',
      meaning: 'Lowest usual efficiency of a four-stroke engine.',
    },
    two_stroke: { kind: 'ratio', value: '13 %', meaning: 'Lowest usual efficiency of a two-stroke engine.' },
  },
  *find({ installation: { engines } }, { highest, four_stroke, two_stroke }): Generator<Found> {
    for (const { configuration } of engines) {
      const { specific_consumption: consumption, cycle } = configuration.engine ?? {};
      const { lower_heating_value: heat, grade } = configuration.fuel ?? {};
      const efficiency = brakeEfficiency(configuration);
      if (!consumption || !efficiency) continue;
      const lowest = cycle?.text === 'two-stroke' ? two_stroke : four_stroke;
      if (!passes(efficiency.canonical, highest) && !passes(lowest, efficiency.canonical)) continue;
      yield {
        at: consumption.node,
        message: `A specific consumption of ${consumption.node.text} means an efficiency of ${percent(efficiency.canonical)}; ${percent(lowest)} to ${percent(highest)} is usual.`,
        follows: placesBehind(efficiency),
        // The heating value of another fuel makes a sound consumption look wrong.
        cause: heat && grade && isOfOtherFuel(heat, grade.text) ? heat.node : consumption.node,
      };
    }
  },
});
