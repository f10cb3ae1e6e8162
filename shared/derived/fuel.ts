import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { WhichTable } from '../configuration/lookup.ts';
import { memo } from '../memo.ts';
import * as cylinder from '../physics/cylinder.ts';
import { lookedUp } from '../physics/formula.ts';
import { grades } from '../physics/fuels.ts';
import * as physics from '../physics/injector.ts';
import { ambientPressure } from './atmosphere.ts';
import { chargeTemperature, manifoldPressure, pressureOnAxis } from './charge-air.ts';
import { cycleTime, engineVolume, sweptVolume, turnsPerCycle } from './cylinder.ts';
import { DEFAULT_COOLANT_TEMPERATURE, type OperatingPoint, type PointValue } from './operating-point.ts';
import {
  apply,
  type MaybeOperand,
  type Operand,
  type Result,
  referenceOfOperand,
  withReason,
} from './value.ts';

type Fuel = NonNullable<EngineConfiguration['fuel']>;
type GradeProperty = 'density' | 'stoichiometricRatio' | 'lowerHeatingValue';

/** A property of the fuel: as the file states it, or else that of its grade. */
function fuelProperty({ grade }: Fuel, written: MaybeOperand, property: GradeProperty): MaybeOperand {
  if (written || !grade) return written;
  const { [property]: canonical, sources } = grades[grade.text];
  return { canonical, node: grade.node, how: `of ${grade.text}`, source: sources[property] };
}

/** Properties of a fuel and its injectors that thousands of cells and points share. */
const ofFuel = memo((fuel: Fuel) => {
  const { injectors } = fuel;
  const timing = injectors?.timing;
  const density = fuelProperty(fuel, fuel.density, 'density');
  return {
    density,
    stoichiometricRatio: fuelProperty(fuel, fuel.stoichiometric_ratio, 'stoichiometricRatio'),
    lowerHeatingValue: fuelProperty(fuel, fuel.lower_heating_value, 'lowerHeatingValue'),
    testFluidDensity:
      injectors?.test_fluid_density ??
      (density && withReason(density, 'flow taken as measured with this fuel')),
    injections: timing && {
      canonical: physics.injectionsPerCycle[timing.text],
      node: timing.node,
      how: timing.text,
    },
  };
});

export const fuelDensity = ({ fuel }: EngineConfiguration): MaybeOperand => fuel && ofFuel(fuel).density;
export const stoichiometricRatio = ({ fuel }: EngineConfiguration): MaybeOperand =>
  fuel && ofFuel(fuel).stoichiometricRatio;

export const lowerHeatingValue = ({ fuel }: EngineConfiguration): MaybeOperand =>
  fuel && ofFuel(fuel).lowerHeatingValue;

export const injections = ({ fuel }: EngineConfiguration): MaybeOperand => fuel && ofFuel(fuel).injections;

/** The density of the test fluid of the static flow; without one, that of this fuel. */
export const testFluidDensity = ({ fuel }: EngineConfiguration): MaybeOperand =>
  fuel && ofFuel(fuel).testFluidDensity;

const ONE_INJECTOR: Operand = { canonical: 1, how: 'one per cylinder, as no number is stated' };

export const injectorsPerCylinder = ({ fuel }: EngineConfiguration): Operand =>
  fuel?.injectors?.per_cylinder ?? ONE_INJECTOR;

const WARM_COOLANT: Operand = { canonical: DEFAULT_COOLANT_TEMPERATURE, how: 'warm engine' };
const NO_WARM_UP: Operand = { canonical: 1, how: 'no warm-up enrichment stated' };
const NO_CORRECTION: Operand = { canonical: 1, how: 'no correction stated' };

/** A map over speed and manifold pressure, at the point. */
function atPoint(point: OperatingPoint, map: WhichTable): MaybeOperand {
  return point.lookUp(map, point.conditions.speed, pressureOnAxis(point, map(point.configuration)?.y));
}

const fillingMap: WhichTable = ({ fuel }) => fuel?.volumetric_efficiency;
const lambdaMap: WhichTable = ({ fuel }) => fuel?.target_lambda;
const warmUpCurve: WhichTable = ({ fuel }) => fuel?.warm_up_enrichment;
const correctionCurve: WhichTable = ({ fuel }) => fuel?.charge_temperature_correction;
const deadTimeCurve: WhichTable = ({ fuel }) => fuel?.injectors?.dead_time;

const lambdaFormula = lookedUp('lambda', 'λ', 'target at speed and manifold pressure', '');
const fillingFormula = lookedUp('volumetric-efficiency', 'VE', 'map at speed and manifold pressure', '', '%');

export const volumetricEfficiency: PointValue = {
  id: 'volumetric_efficiency',
  label: 'Volumetric efficiency',
  derive: (point) => apply(fillingFormula, { found: atPoint(point, fillingMap) }),
};

export const targetLambda: PointValue = {
  id: 'target_lambda',
  label: 'Target lambda',
  derive: (point) => apply(lambdaFormula, { found: point.conditions.lambda ?? atPoint(point, lambdaMap) }),
};

/** The lambda of the map, even if the point states its own. */
export const targetLambdaOfMap: PointValue = {
  id: 'target_lambda_of_map',
  label: 'Target lambda of the map',
  derive: (point) => apply(lambdaFormula, { found: atPoint(point, lambdaMap) }),
};

export const airMassPerCycle: PointValue = {
  id: 'air_mass_per_cycle',
  label: 'Air mass per cylinder and cycle',
  derive: (point) =>
    apply(cylinder.airMassPerCycle, {
      volumetricEfficiency: point.get(volumetricEfficiency),
      manifoldPressure: point.get(manifoldPressure),
      cylinderVolume: sweptVolume(point.configuration),
      chargeTemperature: point.get(chargeTemperature),
    }),
};

export const fuelMassPerCycle: PointValue = {
  id: 'fuel_mass_per_cycle',
  label: 'Fuel mass per cylinder and cycle',
  derive(point) {
    const { fuel } = point.configuration;
    const warmUp = fuel?.warm_up_enrichment;
    const correction = fuel?.charge_temperature_correction;
    return apply(physics.fuelMassPerCycle, {
      airMass: point.get(airMassPerCycle),
      stoichiometricRatio: stoichiometricRatio(point.configuration),
      lambda: point.get(targetLambda),
      warmUpEnrichment: warmUp ? point.lookUp(warmUpCurve, point.conditions.coolantTemperature) : NO_WARM_UP,
      chargeTemperatureCorrection: correction
        ? point.lookUp(correctionCurve, point.get(chargeTemperature))
        : NO_CORRECTION,
    });
  },
};

/** The fuel pressure above manifold pressure at the point, for a rail set to `pressure`. */
export function railDrop(point: OperatingPoint, pressure: MaybeOperand): MaybeOperand {
  const rail = point.configuration.fuel?.rail;
  if (!pressure || !rail?.regulator) return undefined;
  // A gauge rail pressure is relative to ambient, one without a reference to the manifold.
  if (referenceOfOperand(pressure) !== 'gauge') return pressure;
  return apply(physics.fixedRailPressure, {
    railPressure: pressure,
    ambientPressure: point.get(ambientPressure),
    manifoldPressure: point.get(manifoldPressure),
  });
}

/** Flow of one injector with the rail at `pressure`. */
function flowAt(point: OperatingPoint, pressure: MaybeOperand): Result | undefined {
  const injectors = point.configuration.fuel?.injectors;
  return apply(physics.injectorFlow, {
    staticFlow: injectors?.static_flow,
    railDrop: railDrop(point, pressure),
    ratedPressure: injectors?.rated_pressure,
    testFluidDensity: testFluidDensity(point.configuration),
    fuelDensity: fuelDensity(point.configuration),
  });
}

export const injectorFlow: PointValue = {
  id: 'injector_flow',
  label: 'Injector flow',
  derive: (point) => flowAt(point, point.conditions.railPressure ?? point.configuration.fuel?.rail?.pressure),
};

export const deadTime = (point: OperatingPoint): MaybeOperand =>
  point.lookUp(deadTimeCurve, point.conditions.batteryVoltage);

export function pulseWidth(
  point: OperatingPoint,
  flow: MaybeOperand,
  fuelMass: MaybeOperand = point.get(fuelMassPerCycle),
): Result | undefined {
  const { configuration } = point;
  return apply(physics.injectorPulseWidth, {
    fuelMass,
    flow,
    fuelDensity: fuelDensity(configuration),
    injectorsPerCylinder: injectorsPerCylinder(configuration),
    injections: injections(configuration),
    deadTime: deadTime(point),
  });
}

export function duty(point: OperatingPoint, pulse: MaybeOperand): Result | undefined {
  return apply(physics.injectorDuty, {
    pulseWidth: pulse,
    injections: injections(point.configuration),
    cycleTime: point.get(cycleTime),
  });
}

export const injectorPulseWidth: PointValue = {
  id: 'injector_pulse_width',
  label: 'Injector pulse width',
  derive: (point) => pulseWidth(point, point.get(injectorFlow)),
};

export const injectorDuty: PointValue = {
  id: 'injector_duty',
  label: 'Injector duty',
  derive: (point) => duty(point, point.get(injectorPulseWidth)),
};

export const injectorDutyAtFaultPressure: PointValue = {
  id: 'injector_duty_at_fault_pressure',
  label: 'Injector duty at fault pressure',
  derive: (point) =>
    duty(point, pulseWidth(point, flowAt(point, point.configuration.fuel?.rail?.fault_pressure))),
};

export const fuelFlow: PointValue = {
  id: 'fuel_flow',
  label: 'Fuel flow',
  reportIn: 'kg/h',
  derive: (point) =>
    apply(physics.fuelFlow, {
      fuelMass: point.get(fuelMassPerCycle),
      cylinders: point.configuration.engine?.cylinders,
      cycleTime: point.get(cycleTime),
    }),
};

export const fuelVolumeFlow: PointValue = {
  id: 'fuel_flow_by_volume',
  label: 'Fuel flow by volume',
  reportIn: 'L/h',
  derive: (point) =>
    apply(physics.fuelVolumeFlow, {
      massFlow: point.get(fuelFlow),
      fuelDensity: fuelDensity(point.configuration),
    }),
};

export const estimatedPower: PointValue = {
  id: 'estimated_power',
  label: 'Estimated power',
  derive: (point) =>
    apply(cylinder.estimatedPower, {
      fuelFlow: point.get(fuelFlow),
      specificConsumption: point.configuration.engine?.specific_consumption,
    }),
};

/** The estimated power of the warm engine: the fuel that a cold engine gets in addition does not burn for power. */
export const warmPower: PointValue = {
  id: 'estimated_power_warm',
  label: 'Estimated power of the warm engine',
  derive: (point) =>
    point.inState({ ...point.conditions, coolantTemperature: WARM_COOLANT }).get(estimatedPower)?.result,
};

export const brakeMeanEffectivePressure: PointValue = {
  id: 'brake_mean_effective_pressure',
  label: 'Brake mean effective pressure',
  derive: (point) =>
    apply(cylinder.brakeMeanEffectivePressure, {
      power: point.get(estimatedPower),
      revolutions: turnsPerCycle(point.configuration),
      displacement: engineVolume(point.configuration),
      speed: point.conditions.speed,
    }),
};
