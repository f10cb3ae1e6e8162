import * as atmosphere from './atmosphere.ts';
import * as chargeAir from './charge-air.ts';
import * as cylinder from './cylinder.ts';
import type { FileValue } from './derivation.ts';
import * as fuel from './fuel.ts';
import * as ignition from './ignition.ts';
import type { PointValue } from './operating-point.ts';
import * as worst from './worst-case.ts';

/** Values of the whole file, in reading order. A new value is one object in its subject's file and one line here. */
export const fileValues: readonly FileValue[] = [
  cylinder.displacement,
  cylinder.cylinderVolume,
  ignition.knockFrequency,
  worst.injectorFlowAtRailPressure,
  worst.worstInjectorDuty,
  worst.worstInjectorDutyAtFaultPressure,
  worst.highestFuelFlow,
  worst.pumpMargin,
  ignition.coilCurrent,
  ignition.coilEnergy,
  ignition.dwellShare,
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
  cylinder.meanPistonSpeed,
];
