import { sparkEnergyLow, triggerDelayUncompensated } from '../checks/ignition-capacitive.ts';
import { propellerTipMachHigh } from '../checks/propeller-limits.ts';
import { sparkEnergy, sparkEnergyAtCranking, triggerDelayAngle } from '../derived/capacitive.ts';
import { gearboxTorqueWarm, propellerSpeed, propellerTipMach } from '../derived/propeller.ts';
import { least, most, stated, threshold, thresholdIn, type ValueLimit } from './limit.ts';

/** A delay that the controller compensates has no limit. */
const uncompensatedDelay = most('largest usual delay', (held) =>
  held.configuration.ignition?.capacitive?.compensated?.flag
    ? undefined
    : thresholdIn(triggerDelayUncompensated, 'tolerance', held),
);

/** The limits of propeller, gearbox and capacitive ignition. */
export const SYSTEM_LIMITS: readonly ValueLimit[] = [
  [
    propellerSpeed,
    most('maximum propeller speed', ({ configuration: { propeller } }) => stated(propeller?.maximum_speed)),
  ],
  [
    gearboxTorqueWarm,
    most('maximum gearbox torque', ({ configuration: { gearbox } }) => stated(gearbox?.maximum_torque)),
  ],
  [propellerTipMach, most('usual limit', threshold(propellerTipMachHigh, 'limit'))],
  [sparkEnergy, least('usual minimum', threshold(sparkEnergyLow, 'minimum'))],
  [sparkEnergyAtCranking, least('usual minimum', threshold(sparkEnergyLow, 'cranking'))],
  [triggerDelayAngle, uncompensatedDelay],
];
