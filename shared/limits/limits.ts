import type { EngineConfiguration } from '../../generated/configuration.ts';
import { criticalAltitudeExceeded, targetBeyondCompressor } from '../checks/air-boost.ts';
import { chargeTemperatureHigh, meanPistonSpeedHigh } from '../checks/air-engine.ts';
import { overboostMargin } from '../checks/air-limits.ts';
import { busLoadHigh } from '../checks/bus-messages.ts';
import { wireVoltageDropHigh } from '../checks/wiring-harness.ts';
import { driverOvercurrent, generatorOverload } from '../checks/wiring-loads.ts';
import { fuseAboveWire } from '../checks/wiring-protectors.ts';
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
import { currentBudget } from '../derived/current-budget.ts';
import { meanPistonSpeed, meanPistonSpeedAtMaximumSpeed } from '../derived/cylinder.ts';
import { driverCurrent } from '../derived/loads.ts';
import { nominalVoltage } from '../derived/operating-point.ts';
import { wireProtector, wireVoltageDrop } from '../derived/wiring.ts';
import { memo } from '../memo.ts';
import { voltageDropLimit } from '../physics/wire.ts';
import { FUEL_LIMITS } from './fuel-limits.ts';
import { IGNITION_LIMITS } from './ignition-limits.ts';
import { type Limit, least, limitAt, most, mostOf, stated, type ValueLimit, writtenThere } from './limit.ts';
import { SYSTEM_LIMITS } from './system-limits.ts';

export type { HeldValue, Limit, LimitValue } from './limit.ts';

/** The cut as absolute pressure, for a target at sea level. */
const cutAtSeaLevel = most(
  'overboost cut',
  ({ configuration: { boost } }) => {
    const cut = boost?.overboost_cut;
    return stated(cut, cut && absoluteCut(cut));
  },
  overboostMargin,
);

/** A cut in gauge pressure limits the boost pressure, at every altitude. */
const overboostCut = (isGauge: boolean) =>
  most(
    'overboost cut',
    ({ configuration: { boost } }) => {
      const cut = boost?.overboost_cut;
      return (cut?.quantity.reference === 'gauge') === isGauge ? stated(cut) : undefined;
    },
    overboostMargin,
  );

const usualPistonSpeed = mostOf('usual limit', meanPistonSpeedHigh, 'limit');

const outputAt = memo(
  (outputs: NonNullable<EngineConfiguration['outputs']>) =>
    new Map(Object.values(outputs).map((output) => [nodeOf(output), output])),
);

/** The lowest current limit among an output's pins. */
const driverLimit = most(
  'driver limit',
  ({ node, subject: { installation } }) => {
    const { configuration, controller } = installation;
    const output = node && configuration.outputs && outputAt(configuration.outputs).get(node);
    const pins = [output?.pin, ...(output?.pins?.items ?? [])];
    const limits = pins.flatMap((pin) => (pin && controller?.pins?.[pin.text]?.maximum_current) ?? []);
    return limits.length > 0
      ? stated(limits.reduce((least, one) => (one.canonical < least.canonical ? one : least)))
      : undefined;
  },
  driverOvercurrent,
);

const usualDrop = most(
  'usual limit',
  ({ configuration }) => ({
    value: voltageDropLimit(nominalVoltage(configuration).canonical, 'continuous'),
    at: wireVoltageDropHigh.id,
  }),
  wireVoltageDropHigh,
);

/** The fuse or breaker at the value's place. */
const protector = least('fuse or breaker rating', writtenThere, fuseAboveWire);

/** The limits of all values. A new limit is one line here or in the list of its part. */
const LIMITS: readonly ValueLimit[] = [
  ...FUEL_LIMITS,
  ...IGNITION_LIMITS,
  ...SYSTEM_LIMITS,
  [manifoldPressure, overboostCut(false)],
  [boostPressure, overboostCut(true)],
  [highestBoostTarget, cutAtSeaLevel],
  [
    pressureRatio,
    most(
      'compressor limit',
      ({ configuration: { boost } }) => stated(boost?.compressor?.maximum_pressure_ratio),
      targetBeyondCompressor,
      criticalAltitudeExceeded,
    ),
  ],
  [chargeTemperature, mostOf('usual limit', chargeTemperatureHigh, 'limit')],
  [
    criticalAltitude,
    least(
      'altitude of the operating point',
      ({ point }) => {
        const altitude = point?.conditions.pressureAltitude;
        return point && altitude && limitAt(point.node, altitude.canonical);
      },
      criticalAltitudeExceeded,
    ),
  ],
  [meanPistonSpeed, usualPistonSpeed],
  [meanPistonSpeedAtMaximumSpeed, usualPistonSpeed],
  [driverCurrent, driverLimit],
  [wireVoltageDrop, usualDrop],
  [wireProtector, protector],
  [busLoadWorstCase, mostOf('maximum bus load', busLoadHigh, 'maximum')],
  [
    currentBudget,
    most(
      'generator current',
      ({ configuration: { harness } }) => stated(harness?.supply?.generator_current),
      generatorOverload,
    ),
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
