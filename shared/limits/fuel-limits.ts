import { floodsInAnyState } from '../checks/fault-dangers.ts';
import {
  injectorBelowMinimumPulse,
  injectorDutyAtFault,
  injectorDutyHigh,
  injectorDutyOver100,
} from '../checks/fuel-injectors.ts';
import { pumpMarginLow } from '../checks/fuel-supply.ts';
import { loopAuthorityExceedsLimit } from '../checks/protection-authority.ts';
import { singleFaultBeyondLimit } from '../checks/protection-faults.ts';
import { thresholdsOf } from '../checks/thresholds.ts';
import {
  fuelVolumeFlow,
  injectorDuty,
  injectorDutyAtFaultPressure,
  injectorPulseWidth,
} from '../derived/fuel.ts';
import { dutyAtFullEnrichment, lambdaAtFullEnrichment, lambdaAtFullLeaning } from '../derived/loops.ts';
import {
  dutyOfRichest,
  fuelFlowWithTrims,
  lambdaOfLeanest,
  lambdaOfRichest,
  pulseWidthOfLeanest,
} from '../derived/trim.ts';
import { lambdaAtHighLoad, lambdaUnderFault } from '../proof/targets.ts';
import {
  type HeldValue,
  type Limit,
  least,
  leastOf,
  most,
  mostOf,
  stated,
  thresholdIn,
  type ValueLimit,
} from './limit.ts';

const allowedDuty: Limit['find'] = (held) =>
  stated(held.configuration.fuel?.injectors?.maximum_duty) ?? thresholdIn(injectorDutyHigh, 'maximum', held);

/** The rail at its fault pressure, as a fault under which bounds hold. */
const isWeakRail = ({ fault }: HeldValue): boolean => fault === 'fault_pressure';

const maximumDuty = most(
  'maximum duty',
  (held) => (isWeakRail(held) ? undefined : allowedDuty(held)),
  injectorDutyHigh,
  injectorDutyOver100,
);

const maximumDutyOnWeakRail = most(
  'maximum duty',
  (held) => (isWeakRail(held) ? allowedDuty(held) : undefined),
  injectorDutyAtFault,
);

/** Beyond it already without the loops, the injectors are reported instead. */
const dutyOfLoops = most(
  'maximum duty',
  (held) =>
    stated(held.configuration.fuel?.injectors?.maximum_duty) ??
    thresholdIn(loopAuthorityExceedsLimit, 'duty', held),
  loopAuthorityExceedsLimit,
  injectorDutyHigh,
  injectorDutyOver100,
);

const shortestPulse = least(
  'minimum pulse',
  ({ configuration: { fuel } }) => stated(fuel?.injectors?.minimum_pulse),
  injectorBelowMinimumPulse,
);

/** The flow of the pump less the usual margin. */
const pumpLimit = most(
  'pump flow less the usual margin',
  ({ subject, configuration: { fuel } }) => {
    const pump = fuel?.rail?.pump_flow;
    return stated(pump, pump && pump.canonical / (1 + thresholdsOf(pumpMarginLow, subject).margin!));
  },
  pumpMarginLow,
);

/** The leanest mixture that a failed sensor should cause, by common practice. */
const leanestUnderFault = most(
  'leanest usual mixture',
  (held) => (held.fault === undefined ? undefined : thresholdIn(singleFaultBeyondLimit, 'leanest', held)),
  singleFaultBeyondLimit,
);

/** The richest mixture that a failed sensor should cause, of the sensors for which the check asks that of every state. */
const richestUnderFault = least(
  'richest usual mixture',
  (held) => {
    const sensor = held.configuration.sensors?.[held.fault?.replace(/^sensors\./, '') ?? ''];
    return sensor && floodsInAnyState(sensor)
      ? thresholdIn(singleFaultBeyondLimit, 'richest', held)
      : undefined;
  },
  singleFaultBeyondLimit,
);

/** The limits of injectors, pump and mixture. */
export const FUEL_LIMITS: readonly ValueLimit[] = [
  [injectorDuty, maximumDuty],
  [injectorDuty, maximumDutyOnWeakRail],
  [injectorDutyAtFaultPressure, most('maximum duty', allowedDuty, injectorDutyAtFault)],
  [dutyOfRichest, maximumDuty],
  [dutyOfRichest, maximumDutyOnWeakRail],
  [injectorPulseWidth, shortestPulse],
  [pulseWidthOfLeanest, shortestPulse],
  [fuelVolumeFlow, pumpLimit],
  [fuelFlowWithTrims, pumpLimit],
  [dutyAtFullEnrichment, dutyOfLoops],
  [lambdaAtFullEnrichment, leastOf('richest mixture', loopAuthorityExceedsLimit, 'richest')],
  [lambdaAtFullLeaning, mostOf('leanest mixture', loopAuthorityExceedsLimit, 'leanest')],
  [lambdaUnderFault, leanestUnderFault],
  [lambdaUnderFault, richestUnderFault],
  [lambdaOfLeanest, leanestUnderFault],
  [lambdaOfRichest, richestUnderFault],
  [lambdaAtHighLoad, mostOf('leanest usual mixture at high load', singleFaultBeyondLimit, 'leanest_at_load')],
];
