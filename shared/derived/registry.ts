import { sectionAt } from '../configuration/applied.ts';
import type { SectionName } from '../configuration/sections.ts';
import { type Node, type PathStep, pathOf } from '../source/tree.ts';
import * as atmosphere from './atmosphere.ts';
import * as boostTarget from './boost-target.ts';
import * as bus from './bus.ts';
import * as busSignals from './bus-signals.ts';
import * as capacitive from './capacitive.ts';
import * as chargeAir from './charge-air.ts';
import * as coil from './coil.ts';
import * as budget from './current-budget.ts';
import * as cylinder from './cylinder.ts';
import type { Derivation, FileValue } from './derivation.ts';
import * as faults from './faults.ts';
import * as fuel from './fuel.ts';
import * as ignition from './ignition.ts';
import * as loads from './loads.ts';
import * as loops from './loops.ts';
import type { OperatingPoint, PointValue } from './operating-point.ts';
import * as propeller from './propeller.ts';
import { injectorFlowAtRailPressure } from './rail-flow.ts';
import * as scaling from './sensor-scaling.ts';
import * as sensors from './sensors.ts';
import * as servo from './servo.ts';
import * as supplies from './supplies.ts';
import * as temperature from './temperature-sensors.ts';
import * as thermistor from './thermistors.ts';
import * as trim from './trim.ts';
import type { DerivedValue } from './value.ts';
import * as wiring from './wiring.ts';

/**
 * Values of the whole file, in reading order, by the section in which they are placed. A new value is one object in the
 * file of its subject and one line here.
 */
const bySection: readonly (readonly [SectionName, readonly FileValue[]])[] = [
  [
    'engine',
    [
      cylinder.displacement,
      cylinder.cylinderVolume,
      cylinder.meanPistonSpeedAtMaximumSpeed,
      ignition.knockFrequency,
    ],
  ],
  ['fuel', [injectorFlowAtRailPressure]],
  ['sensors', [ignition.nextSpark]],
  [
    'ignition',
    [
      coil.coilCurrent,
      coil.dwellForTargetCurrent,
      coil.coilEnergy,
      coil.coilEnergyAtMinimumSupply,
      coil.dwellShare,
      coil.dwellShareAtMinimumSupply,
      capacitive.sparkEnergyAtCranking,
      capacitive.cylindersWithoutCircuit,
    ],
  ],
  ['boost', [boostTarget.highestBoostTarget, boostTarget.criticalAltitudeOfHighestTarget]],
  ['operating_points', [faults.sensorFaultValues]],
  [
    'sensors',
    [
      scaling.scalingAtZero,
      scaling.scalingAtFaultLow,
      scaling.scalingAtFaultHigh,
      scaling.scalingAtFull,
      scaling.unitsPerBit,
      thermistor.thermistorVoltsCold,
      thermistor.thermistorVoltsHot,
      thermistor.thermistorFitError,
      thermistor.thermistorResolutionHot,
      thermistor.thermistorSelfHeating,
      temperature.rtdResistanceLow,
      temperature.rtdResistanceHigh,
      temperature.thermocoupleVoltsAtMinimum,
      temperature.thermocoupleVoltsAtMaximum,
      sensors.airFuelRatioLow,
      sensors.airFuelRatioHigh,
      sensors.knockWindowWidth,
      sensors.knockWindowTime,
      sensors.degreesPerTooth,
      sensors.edgesPerSecond,
      sensors.gapPosition,
      sensors.timeToSync,
    ],
  ],
  ['outputs', [loads.driverLoad, loads.driverCurrent]],
  ['harness', [wiring.wireDiameter, wiring.wireResistance, wiring.wireVoltageDrop, wiring.wireProtector]],
  ['fuel', [budget.currentOfInjectors]],
  ['ignition', [budget.currentOfCoils]],
  ['sensors', [budget.currentOfHeaters]],
  ['harness', [budget.supplyWireCurrent, budget.currentBudget]],
  ['harness', [supplies.sensorSupplyCurrent, supplies.busStubLength]],
  [
    'bus',
    [
      supplies.busTermination,
      bus.busLoad,
      bus.busLoadWorstCase,
      bus.worstResponseTime,
      bus.frameTime,
      bus.responseTime,
      busSignals.signalLowest,
      busSignals.signalHighest,
      busSignals.signalResolution,
    ],
  ],
];

export const fileValues: readonly FileValue[] = bySection.flatMap(([, values]) => values);

/** The values of the file that may be placed in some sections, in reading order. */
export const valuesPlacedIn = (sections: ReadonlySet<PathStep | undefined>): readonly FileValue[] =>
  bySection.flatMap(([name, values]) => (sections.has(name) ? values : []));

/** Values of every operating point, in reading order. */
export const pointValues: readonly PointValue[] = [
  atmosphere.ambientPressure,
  atmosphere.ambientTemperature,
  chargeAir.targetManifoldPressure,
  chargeAir.availableManifoldPressure,
  chargeAir.manifoldPressure,
  chargeAir.boostPressure,
  chargeAir.pressureRatio,
  chargeAir.compressorOutletTemperature,
  chargeAir.chargeTemperature,
  chargeAir.criticalAltitude,
  servo.wastegateBasePosition,
  servo.wastegateLowestPosition,
  servo.wastegateHighestPosition,
  servo.pressureServoClosed,
  servo.pressureServoOpen,
  fuel.volumetricEfficiency,
  fuel.targetLambda,
  fuel.airMassPerCycle,
  fuel.fuelMassPerCycle,
  fuel.injectorFlow,
  cylinder.cycleTime,
  fuel.injectorPulseWidth,
  fuel.injectorDuty,
  fuel.injectorDutyAtFaultPressure,
  trim.fuelMassOfRichest,
  trim.pulseWidthOfRichest,
  trim.dutyOfRichest,
  trim.lambdaOfRichest,
  trim.fuelMassOfLeanest,
  trim.pulseWidthOfLeanest,
  trim.dutyOfLeanest,
  trim.lambdaOfLeanest,
  fuel.fuelFlow,
  fuel.fuelVolumeFlow,
  trim.fuelFlowWithTrims,
  fuel.estimatedPower,
  fuel.brakeMeanEffectivePressure,
  propeller.propellerSpeed,
  propeller.gearboxTorque,
  propeller.gearboxTorqueWarm,
  propeller.propellerTipSpeed,
  propeller.propellerTipMach,
  propeller.bladePassingFrequency,
  propeller.propellerAbsorbedPower,
  propeller.propellerBalanceSpeed,
  ignition.ignitionAdvance,
  coil.dwell,
  coil.coilCurrentAtPoint,
  coil.coilEnergyAtPoint,
  coil.dwellShareAtPoint,
  capacitive.sparkEnergy,
  capacitive.triggerDelayAngle,
  capacitive.advanceDelivered,
  loops.lowestFuelPressure,
  loops.dutyAtFullEnrichment,
  loops.lambdaAtFullEnrichment,
  loops.lambdaAtFullLeaning,
  loops.advanceAtMaximumRetard,
  loops.knockThreshold,
  cylinder.meanPistonSpeed,
];

/** All values of a point, in reading order. */
export const allOfPoint = (point: OperatingPoint): DerivedValue[] =>
  pointValues.flatMap((definition) => point.get(definition) ?? []);

/** All values of a file in reading order: those of the whole file, then point by point. */
export const allValues = (derivation: Derivation): DerivedValue[] => [
  ...fileValues.flatMap((definition) => derivation.get(definition)),
  ...derivation.points.flatMap(allOfPoint),
];

/** Every value of the whole file that is placed at a node. */
export function valuesAt(derivation: Derivation, node: Node): DerivedValue[] {
  return valuesPlacedIn(new Set([sectionAt(pathOf(node))])).flatMap(
    (definition) =>
      definition.ofNode?.(derivation, node) ??
      derivation.get(definition).filter((value) => value.node === node),
  );
}
