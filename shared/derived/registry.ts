import * as atmosphere from './atmosphere.ts';
import * as boostTarget from './boost-target.ts';
import * as chargeAir from './charge-air.ts';
import * as coil from './coil.ts';
import * as cylinder from './cylinder.ts';
import type { FileValue } from './derivation.ts';
import * as faults from './faults.ts';
import * as fuel from './fuel.ts';
import * as ignition from './ignition.ts';
import * as loops from './loops.ts';
import type { PointValue } from './operating-point.ts';
import * as worst from './worst-case.ts';

/** Values of the whole file, in reading order. A new value is one object in its subject's file and one line here. */
export const fileValues: readonly FileValue[] = [
  cylinder.displacement,
  cylinder.cylinderVolume,
  cylinder.meanPistonSpeedAtMaximumSpeed,
  ignition.knockFrequency,
  worst.injectorFlowAtRailPressure,
  worst.worstInjectorDuty,
  worst.worstInjectorDutyAtFaultPressure,
  worst.highestFuelFlow,
  worst.pumpMargin,
  ignition.nextSpark,
  coil.coilCurrent,
  coil.dwellForTargetCurrent,
  coil.coilEnergy,
  coil.coilEnergyAtMinimumSupply,
  coil.dwellShare,
  coil.dwellShareAtMinimumSupply,
  boostTarget.highestBoostTarget,
  boostTarget.criticalAltitudeOfHighestTarget,
  faults.sensorFaultValues,
];

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
  fuel.volumetricEfficiency,
  fuel.targetLambda,
  fuel.airMassPerCycle,
  fuel.fuelMassPerCycle,
  fuel.injectorFlow,
  cylinder.cycleTime,
  fuel.injectorPulseWidth,
  fuel.injectorDuty,
  fuel.injectorDutyAtFaultPressure,
  fuel.fuelFlow,
  fuel.fuelVolumeFlow,
  fuel.estimatedPower,
  fuel.brakeMeanEffectivePressure,
  ignition.ignitionAdvance,
  loops.lowestFuelPressure,
  loops.dutyAtFullEnrichment,
  loops.lambdaAtFullEnrichment,
  loops.lambdaAtFullLeaning,
  loops.advanceAtMaximumRetard,
  cylinder.meanPistonSpeed,
];
