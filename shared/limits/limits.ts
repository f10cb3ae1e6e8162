import type { EngineConfiguration } from '../../generated/configuration.ts';
import { chargeTemperatureHigh, meanPistonSpeedHigh } from '../checks/air-engine.ts';
import { busLoadHigh } from '../checks/bus-messages.ts';
import type { Check, EngineSubject } from '../checks/check.ts';
import { advanceBeyondUsual } from '../checks/dense-charge.ts';
import { floodsInAnyState } from '../checks/fault-dangers.ts';
import { injectorDutyHigh } from '../checks/fuel-injectors.ts';
import { pumpMarginLow } from '../checks/fuel-supply.ts';
import { coilCurrentExceedsTarget, coilEnergyLow, dwellExceedsInterval } from '../checks/ignition-coil.ts';
import { advanceTooHighForCharge } from '../checks/ignition-detonation.ts';
import { loopAuthorityExceedsLimit } from '../checks/protection-authority.ts';
import { singleFaultBeyondLimit } from '../checks/protection-faults.ts';
import { thresholdsOf } from '../checks/thresholds.ts';
import { wireVoltageDropHigh } from '../checks/wiring-harness.ts';
import { allReadings } from '../configuration/readings.ts';
import { nodeOf } from '../configuration/values.ts';
import { absoluteCut, highestBoostTarget } from '../derived/boost-target.ts';
import { busLoadWorstCase } from '../derived/bus.ts';
import {
  boostPressure,
  chargeTemperature,
  criticalAltitude,
  manifoldPressure,
  pressureRatio,
} from '../derived/charge-air.ts';
import {
  coilCurrent,
  coilCurrentAtPoint,
  coilEnergyAtMinimumSupply,
  coilEnergyAtPoint,
  dwellShare,
  dwellShareAtMinimumSupply,
  dwellShareAtPoint,
} from '../derived/coil.ts';
import { currentBudget } from '../derived/current-budget.ts';
import { meanPistonSpeed, meanPistonSpeedAtMaximumSpeed } from '../derived/cylinder.ts';
import {
  fuelVolumeFlow,
  injectorDuty,
  injectorDutyAtFaultPressure,
  injectorPulseWidth,
} from '../derived/fuel.ts';
import { ignitionAdvance, nextSpark, sparkInterval } from '../derived/ignition.ts';
import { driverCurrent } from '../derived/loads.ts';
import {
  advanceAtMaximumRetard,
  dutyAtFullEnrichment,
  lambdaAtFullEnrichment,
  lambdaAtFullLeaning,
} from '../derived/loops.ts';
import { nominalVoltage } from '../derived/operating-point.ts';
import { sensorsOf } from '../derived/sensor-input.ts';
import {
  dutyOfRichest,
  fuelFlowWithTrims,
  lambdaOfLeanest,
  lambdaOfRichest,
  pulseWidthOfLeanest,
} from '../derived/trim.ts';
import { wireProtector, wireVoltageDrop } from '../derived/wiring.ts';
import { memo } from '../memo.ts';
import { voltageDropLimit } from '../physics/wire.ts';
import { addedAdvance } from '../proof/added-advance.ts';
import { lambdaAtHighLoad, lambdaUnderFault } from '../proof/targets.ts';
import {
  type Limit,
  least,
  limitAt,
  most,
  stated,
  threshold,
  thresholdIn,
  type ValueLimit,
} from './limit.ts';
import { SYSTEM_LIMITS } from './system-limits.ts';

export type { HeldValue, Limit, LimitValue } from './limit.ts';

const valuesByNode = memo(
  ({ read }: EngineSubject) => new Map(allReadings(read).map(({ node, value }) => [node, value])),
);

/** The quantity written at the value's own place. */
const writtenThere: Limit['find'] = ({ node, subject }) => {
  const written = node && valuesByNode(subject).get(node);
  return written?.type === 'quantity' ? stated(written) : undefined;
};

const allowedDuty = most(
  'maximum duty',
  (held) =>
    stated(held.configuration.fuel?.injectors?.maximum_duty) ??
    thresholdIn(injectorDutyHigh, 'maximum', held),
);

/** The cut as absolute pressure, for a target at sea level. */
const cutAtSeaLevel = most('overboost cut', ({ configuration: { boost } }) => {
  const cut = boost?.overboost_cut;
  return stated(cut, cut && absoluteCut(cut));
});

/** A cut in gauge pressure limits the boost pressure, at every altitude. */
const overboostCut = (isGauge: boolean) =>
  most('overboost cut', ({ configuration: { boost } }) => {
    const cut = boost?.overboost_cut;
    return (cut?.quantity.reference === 'gauge') === isGauge ? stated(cut) : undefined;
  });

/** The advance at which the spark of the next cylinder would fall into the earliest end of a knock window. */
const sparkInWindow = most('end of the knock window', ({ configuration }) => {
  const interval = sparkInterval(configuration)?.canonical;
  const ends = sensorsOf(configuration, 'knock').flatMap(([, { window }]) => window?.to ?? []);
  if (interval === undefined || ends.length === 0) return undefined;
  const last = ends.reduce((most, end) => (end.canonical > most.canonical ? end : most));
  return stated(last, interval - last.canonical);
});

const dutyOfLoops = most(
  'maximum duty',
  (held) =>
    stated(held.configuration.fuel?.injectors?.maximum_duty) ??
    thresholdIn(loopAuthorityExceedsLimit, 'duty', held),
);

const shortestPulse = least('minimum pulse', ({ configuration: { fuel } }) =>
  stated(fuel?.injectors?.minimum_pulse),
);

/** A margin beyond a limit that depends on the state. */
const noneBeyond = (check: Check): Limit => most('none', () => ({ value: 0, at: check.id }));

const dwellLimit = most('maximum dwell share', threshold(dwellExceedsInterval, 'share'));

const usualPistonSpeed = most('usual limit', threshold(meanPistonSpeedHigh, 'limit'));

const advanceEnd =
  (end: 'low' | 'high'): Limit['find'] =>
  ({ configuration: { ignition } }) => {
    const range = ignition?.advance_range;
    return range && limitAt(range.node, range[end].canonical);
  };

/** The flow of the pump less the usual margin. */
const pumpLimit = most('pump flow less the usual margin', ({ subject, configuration: { fuel } }) => {
  const pump = fuel?.rail?.pump_flow;
  return stated(pump, pump && pump.canonical / (1 + thresholdsOf(pumpMarginLow, subject).margin!));
});

/** The leanest mixture that a failed sensor should cause, by common practice. */
const leanestUnderFault = most('leanest usual mixture', (held) =>
  held.fault === undefined ? undefined : thresholdIn(singleFaultBeyondLimit, 'leanest', held),
);

/** The richest mixture that a failed sensor should cause, of the sensors for which the check asks that of every state. */
const richestUnderFault = least('richest usual mixture', (held) => {
  const sensor = held.configuration.sensors?.[held.fault?.replace(/^sensors\./, '') ?? ''];
  return sensor && floodsInAnyState(sensor)
    ? thresholdIn(singleFaultBeyondLimit, 'richest', held)
    : undefined;
});

const outputAt = memo(
  (outputs: NonNullable<EngineConfiguration['outputs']>) =>
    new Map(Object.values(outputs).map((output) => [nodeOf(output), output])),
);

/** The lowest current limit among an output's pins. */
const driverLimit = most('driver limit', ({ node, subject: { installation } }) => {
  const { configuration, controller } = installation;
  const output = node && configuration.outputs && outputAt(configuration.outputs).get(node);
  const pins = [output?.pin, ...(output?.pins?.items ?? [])];
  const limits = pins.flatMap((pin) => (pin && controller?.pins?.[pin.text]?.maximum_current) ?? []);
  return limits.length > 0
    ? stated(limits.reduce((least, one) => (one.canonical < least.canonical ? one : least)))
    : undefined;
});

const targetCurrent = most('target current plus tolerance', ({ subject, configuration: { ignition } }) => {
  const target = ignition?.coil?.target_current;
  return stated(
    target,
    target && target.canonical * (1 + thresholdsOf(coilCurrentExceedsTarget, subject).tolerance!),
  );
});

/** The share of its stated energy that a coil should keep or, if none is stated, the energy that a spark needs. */
const coilSpark = least('minimum energy', ({ subject, configuration: { ignition } }) => {
  const { share, minimum } = thresholdsOf(coilEnergyLow, subject);
  const energy = ignition?.coil?.energy;
  return stated(energy, energy && energy.canonical * share!) ?? { value: minimum!, at: coilEnergyLow.id };
});

/** The end of the knock window at the value's place. */
const knockWindow = least('end of the knock window', writtenThere);

const usualDrop = most('usual limit', ({ configuration }) => ({
  value: voltageDropLimit(nominalVoltage(configuration).canonical, 'continuous'),
  at: wireVoltageDropHigh.id,
}));

/** The fuse or breaker at the value's place. */
const protector = least('fuse or breaker rating', writtenThere);

/** The limits of a value: at most one for each side. A new limit is one line here. */
const LIMITS: readonly ValueLimit[] = [
  ...SYSTEM_LIMITS,
  [injectorDuty, allowedDuty],
  [injectorDutyAtFaultPressure, allowedDuty],
  [dutyOfRichest, allowedDuty],
  [injectorPulseWidth, shortestPulse],
  [pulseWidthOfLeanest, shortestPulse],
  [fuelVolumeFlow, pumpLimit],
  [fuelFlowWithTrims, pumpLimit],
  [manifoldPressure, overboostCut(false)],
  [boostPressure, overboostCut(true)],
  [highestBoostTarget, cutAtSeaLevel],
  [
    pressureRatio,
    most('compressor limit', ({ configuration: { boost } }) =>
      stated(boost?.compressor?.maximum_pressure_ratio),
    ),
  ],
  [chargeTemperature, most('usual limit', threshold(chargeTemperatureHigh, 'limit'))],
  [
    criticalAltitude,
    least('altitude of the operating point', ({ point }) => {
      const altitude = point?.conditions.pressureAltitude;
      return point && altitude && limitAt(point.node, altitude.canonical);
    }),
  ],
  [ignitionAdvance, most('end of the advance range', advanceEnd('high'))],
  [ignitionAdvance, least('start of the advance range', advanceEnd('low'))],
  [ignitionAdvance, sparkInWindow],
  [advanceAtMaximumRetard, least('start of the advance range', advanceEnd('low'))],
  [advanceBeyondUsual, noneBeyond(advanceTooHighForCharge)],
  [dutyAtFullEnrichment, dutyOfLoops],
  [lambdaAtFullEnrichment, least('richest mixture', threshold(loopAuthorityExceedsLimit, 'richest'))],
  [lambdaAtFullLeaning, most('leanest mixture', threshold(loopAuthorityExceedsLimit, 'leanest'))],
  [lambdaUnderFault, leanestUnderFault],
  [lambdaUnderFault, richestUnderFault],
  [lambdaOfLeanest, leanestUnderFault],
  [lambdaOfRichest, richestUnderFault],
  [
    lambdaAtHighLoad,
    most('leanest usual mixture at high load', threshold(singleFaultBeyondLimit, 'leanest_at_load')),
  ],
  [addedAdvance, most('largest usual advance error', threshold(singleFaultBeyondLimit, 'advance'))],
  [nextSpark, knockWindow],
  [coilCurrent, targetCurrent],
  [coilCurrentAtPoint, targetCurrent],
  [coilEnergyAtPoint, coilSpark],
  [dwellShareAtPoint, dwellLimit],
  [coilEnergyAtMinimumSupply, coilSpark],
  [dwellShare, dwellLimit],
  [dwellShareAtMinimumSupply, dwellLimit],
  [meanPistonSpeed, usualPistonSpeed],
  [meanPistonSpeedAtMaximumSpeed, usualPistonSpeed],
  [driverCurrent, driverLimit],
  [wireVoltageDrop, usualDrop],
  [wireProtector, protector],
  [busLoadWorstCase, most('maximum bus load', threshold(busLoadHigh, 'maximum'))],
  [
    currentBudget,
    most('generator current', ({ configuration: { harness } }) => stated(harness?.supply?.generator_current)),
  ],
];

const limitsById = new Map<string, Limit[]>();
for (const [{ id }, limit] of LIMITS) limitsById.set(id, [...(limitsById.get(id) ?? []), limit]);

/** The limits of a value, by its id. */
export const limitsOf = (id: string): readonly Limit[] => limitsById.get(id) ?? [];

/** The distance from a value to its limit; negative beyond it. */
export function marginTo({ side }: Limit, limit: number, value: number): number {
  return side === 'most' ? limit - value : value - limit;
}
