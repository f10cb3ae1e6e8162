import { sparkEnergyLow, triggerDelayUncompensated } from '../checks/ignition-capacitive.ts';
import { gearboxTorqueHigh, propellerSpeedHigh, propellerTipMachHigh } from '../checks/propeller-limits.ts';
import { sparkEnergy, sparkEnergyAtCranking, triggerDelayAngle } from '../derived/capacitive.ts';
import { gearboxTorqueWarm, propellerSpeed, propellerTipMach } from '../derived/propeller.ts';
import { leastOf, most, mostOf, stated, thresholdIn, type ValueLimit } from './limit.ts';

/** A delay that the controller compensates has no limit. */
const uncompensatedDelay = most(
  'largest usual delay',
  (held) =>
    held.configuration.ignition?.capacitive?.compensated?.flag
      ? undefined
      : thresholdIn(triggerDelayUncompensated, 'tolerance', held),
  triggerDelayUncompensated,
);

/** The limits of propeller, gearbox and capacitive ignition. */
export const SYSTEM_LIMITS: readonly ValueLimit[] = [
  [
    propellerSpeed,
    most(
      'maximum propeller speed',
      ({ configuration: { propeller } }) => stated(propeller?.maximum_speed),
      propellerSpeedHigh,
    ),
  ],
  [
    gearboxTorqueWarm,
    most(
      'maximum gearbox torque',
      ({ configuration: { gearbox } }) => stated(gearbox?.maximum_torque),
      gearboxTorqueHigh,
    ),
  ],
  [propellerTipMach, mostOf('usual limit', propellerTipMachHigh, 'limit')],
  [sparkEnergy, leastOf('usual minimum', sparkEnergyLow, 'minimum')],
  [sparkEnergyAtCranking, leastOf('usual minimum', sparkEnergyLow, 'cranking')],
  [triggerDelayAngle, uncompensatedDelay],
];
