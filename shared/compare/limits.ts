import type { EngineConfiguration } from '../../generated/configuration.ts';
import { chargeTemperatureHigh, meanPistonSpeedHigh } from '../checks/air-engine.ts';
import { busLoadHigh } from '../checks/bus-messages.ts';
import type { Check, EngineSubject } from '../checks/check.ts';
import { dutyLimit } from '../checks/duty-limit.ts';
import { injectorDutyHigh } from '../checks/fuel-injectors.ts';
import { pumpMarginLow } from '../checks/fuel-supply.ts';
import { coilCurrentExceedsTarget, coilEnergyLow, dwellExceedsInterval } from '../checks/ignition-coil.ts';
import { thresholdsOf } from '../checks/run.ts';
import { allReadings } from '../configuration/readings.ts';
import { nodeOf } from '../configuration/values.ts';
import { absoluteAtSeaLevel, highestBoostTarget } from '../derived/boost-target.ts';
import { busLoadWorstCase } from '../derived/bus.ts';
import {
  chargeTemperature,
  criticalAltitude,
  manifoldPressure,
  pressureRatio,
} from '../derived/charge-air.ts';
import {
  coilCurrent,
  coilEnergyAtMinimumSupply,
  dwellShare,
  dwellShareAtMinimumSupply,
} from '../derived/coil.ts';
import { currentBudget } from '../derived/current-budget.ts';
import { meanPistonSpeedAtMaximumSpeed } from '../derived/cylinder.ts';
import { injectorDuty, injectorDutyAtFaultPressure, injectorPulseWidth } from '../derived/fuel.ts';
import { ignitionAdvance, nextSpark } from '../derived/ignition.ts';
import { driverCurrent } from '../derived/loads.ts';
import { nominalVoltage, type OperatingPoint } from '../derived/operating-point.ts';
import type { DerivedValue } from '../derived/value.ts';
import { wireProtector, wireVoltageDrop } from '../derived/wiring.ts';
import { pumpMargin, worstInjectorDuty, worstInjectorDutyAtFaultPressure } from '../derived/worst-case.ts';
import { minimumOf } from '../extremes.ts';
import { memo } from '../memo.ts';
import { voltageDropLimit } from '../physics/wire.ts';

/** The limit of a derived value, for the margin that a review shows. */
export interface Limit {
  readonly label: string;
  /** `most`: the value should not be above it; `least`: not below. */
  readonly side: 'most' | 'least';
  /** In the value's canonical unit; undefined if the installation has no such limit. */
  at(held: HeldValue): number | undefined;
}

/** A derived value with everything that its limit may depend on. */
export interface HeldValue {
  readonly value: DerivedValue;
  readonly subject: EngineSubject;
  /** The engine of the value; for an operating point, with its map set applied. */
  readonly configuration: EngineConfiguration;
  readonly point: OperatingPoint | undefined;
}

/** The threshold of a check, as set for this file. */
function threshold(check: Check, name: string): Limit['at'] {
  return ({ subject }) => thresholdsOf(check, subject)[name];
}

const valuesByNode = memo(
  ({ read }: EngineSubject) => new Map(allReadings(read).map(({ node, value }) => [node, value])),
);

/** The quantity written at the value's own place. */
const writtenThere: Limit['at'] = ({ value, subject }) => {
  const written = valuesByNode(subject).get(value.node);
  return written?.type === 'quantity' ? written.canonical : undefined;
};

const most = (label: string, at: Limit['at']): Limit => ({ label, side: 'most', at });
const least = (label: string, at: Limit['at']): Limit => ({ label, side: 'least', at });

const allowedDuty = most('maximum duty', ({ subject }) =>
  dutyLimit(subject, thresholdsOf(injectorDutyHigh, subject).maximum!),
);

const overboostCut = most('overboost cut', ({ configuration: { boost } }) => {
  return boost?.overboost_cut && absoluteAtSeaLevel(boost.overboost_cut.quantity);
});

const dwellLimit = most('maximum dwell share', threshold(dwellExceedsInterval, 'share'));

const outputAt = memo(
  (outputs: NonNullable<EngineConfiguration['outputs']>) =>
    new Map(Object.values(outputs).map((output) => [nodeOf(output), output])),
);

/** The lowest current limit among an output's pins. */
const driverLimit = most('driver limit', ({ value, subject: { installation } }) => {
  const { configuration, controller } = installation;
  const output = configuration.outputs && outputAt(configuration.outputs).get(value.node);
  const pins = [output?.pin, ...(output?.pins?.items ?? [])];
  const limits = pins.flatMap(
    (pin) => (pin && controller?.pins?.[pin.text]?.maximum_current?.canonical) ?? [],
  );
  return limits.length > 0 ? minimumOf(limits) : undefined;
});

const targetCurrent = most('target current plus tolerance', ({ subject, configuration: { ignition } }) => {
  const target = ignition?.coil?.target_current?.canonical;
  return target && target * (1 + thresholdsOf(coilCurrentExceedsTarget, subject).tolerance!);
});

/** The share of its stated energy that a coil should keep or, if none is stated, the energy that a spark needs. */
const sparkEnergy = least('minimum energy', ({ subject, configuration: { ignition } }) => {
  const { share, minimum } = thresholdsOf(coilEnergyLow, subject);
  const stated = ignition?.coil?.energy?.canonical;
  return stated === undefined ? minimum : stated * share!;
});

/** The end of the knock window at the value's place. */
const knockWindow = least('end of the knock window', writtenThere);

const usualDrop = most('usual limit', ({ configuration }) =>
  voltageDropLimit(nominalVoltage(configuration).canonical, 'continuous'),
);

/** The fuse at the value's place. */
const fuse = least('fuse rating', writtenThere);

/** The limits by the id of the value. A new limit is one line here. */
const LIMITS: ReadonlyMap<string, Limit> = new Map([
  [injectorDuty.id, allowedDuty],
  [injectorDutyAtFaultPressure.id, allowedDuty],
  [worstInjectorDuty.id, allowedDuty],
  [worstInjectorDutyAtFaultPressure.id, allowedDuty],
  [
    injectorPulseWidth.id,
    least('minimum pulse', ({ configuration: { fuel } }) => fuel?.injectors?.minimum_pulse?.canonical),
  ],
  [pumpMargin.id, least('usual margin', threshold(pumpMarginLow, 'margin'))],
  [manifoldPressure.id, overboostCut],
  [highestBoostTarget.id, overboostCut],
  [
    pressureRatio.id,
    most(
      'compressor limit',
      ({ configuration: { boost } }) => boost?.compressor?.maximum_pressure_ratio?.canonical,
    ),
  ],
  [chargeTemperature.id, most('usual limit', threshold(chargeTemperatureHigh, 'limit'))],
  [
    criticalAltitude.id,
    least('altitude of the operating point', ({ point }) => point?.conditions.pressureAltitude.canonical),
  ],
  [
    ignitionAdvance.id,
    most(
      'end of the advance range',
      ({ configuration: { ignition } }) => ignition?.advance_range?.high.canonical,
    ),
  ],
  [nextSpark.id, knockWindow],
  [coilCurrent.id, targetCurrent],
  [coilEnergyAtMinimumSupply.id, sparkEnergy],
  [dwellShare.id, dwellLimit],
  [dwellShareAtMinimumSupply.id, dwellLimit],
  [meanPistonSpeedAtMaximumSpeed.id, most('usual limit', threshold(meanPistonSpeedHigh, 'limit'))],
  [driverCurrent.id, driverLimit],
  [wireVoltageDrop.id, usualDrop],
  [wireProtector.id, fuse],
  [busLoadWorstCase.id, most('maximum bus load', threshold(busLoadHigh, 'maximum'))],
  [
    currentBudget.id,
    most(
      'generator current',
      ({ configuration: { harness } }) => harness?.supply?.generator_current?.canonical,
    ),
  ],
]);

export function limitOf(id: string): Limit | undefined {
  return LIMITS.get(id);
}

/** The distance from a value to its limit; negative beyond it. */
export function marginTo({ side }: Limit, limit: number, value: number): number {
  return side === 'most' ? limit - value : value - limit;
}
