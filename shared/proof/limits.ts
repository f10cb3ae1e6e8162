import type { EngineConfiguration } from '../../generated/configuration.ts';
import { chargeTemperatureHigh, meanPistonSpeedHigh } from '../checks/air-engine.ts';
import type { EngineSubject } from '../checks/check.ts';
import { injectorDutyHigh } from '../checks/fuel-injectors.ts';
import { pumpMarginLow } from '../checks/fuel-supply.ts';
import { singleFaultBeyondLimit } from '../checks/protection-faults.ts';
import { thresholdsOf } from '../checks/run.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { absoluteAtSeaLevel } from '../derived/boost-target.ts';
import { chargeTemperature, manifoldPressure } from '../derived/charge-air.ts';
import { meanPistonSpeed } from '../derived/cylinder.ts';
import { fuelVolumeFlow, injectorDuty, injectorPulseWidth } from '../derived/fuel.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import { pathOf, pathText } from '../source/tree.ts';

export type Side = 'high' | 'low';

export interface BoundLimit {
  readonly value: number;
  /** The key path of the limit, or the id of the check that defines it. */
  readonly at: string;
}

interface Held {
  readonly subject: EngineSubject;
  /** With the map set applied. */
  readonly configuration: EngineConfiguration;
  readonly fault: string | undefined;
}

type FindLimit = (held: Held) => BoundLimit | undefined;

const written = (quantity: QuantityValue | undefined, value = quantity?.canonical): BoundLimit | undefined =>
  quantity && value !== undefined ? { value, at: pathText(pathOf(quantity.node)) } : undefined;

/**
 * The limits of bounded values by id and side: stated in the file, otherwise the usual values of a check. The pressure
 * ratio of the compressor is not among them, because no state exceeds it by construction.
 */
const LIMITS: ReadonlyMap<string, FindLimit> = new Map<string, FindLimit>([
  [
    `${injectorDuty.id} high`,
    ({ subject, configuration: { fuel } }) =>
      written(fuel?.injectors?.maximum_duty) ?? {
        value: thresholdsOf(injectorDutyHigh, subject).maximum!,
        at: injectorDutyHigh.id,
      },
  ],
  [`${injectorPulseWidth.id} low`, ({ configuration: { fuel } }) => written(fuel?.injectors?.minimum_pulse)],
  [
    `${fuelVolumeFlow.id} high`,
    ({ subject, configuration: { fuel } }) => {
      const pump = fuel?.rail?.pump_flow;
      return written(pump, pump && pump.canonical / (1 + thresholdsOf(pumpMarginLow, subject).margin!));
    },
  ],
  [
    `${manifoldPressure.id} high`,
    ({ configuration: { boost } }) =>
      written(boost?.overboost_cut, boost?.overboost_cut && absoluteAtSeaLevel(boost.overboost_cut.quantity)),
  ],
  [
    `${chargeTemperature.id} high`,
    ({ subject }) => ({
      value: thresholdsOf(chargeTemperatureHigh, subject).limit!,
      at: chargeTemperatureHigh.id,
    }),
  ],
  [
    `${meanPistonSpeed.id} high`,
    ({ subject }) => ({
      value: thresholdsOf(meanPistonSpeedHigh, subject).limit!,
      at: meanPistonSpeedHigh.id,
    }),
  ],
  [`${ignitionAdvance.id} high`, ({ configuration }) => advanceEnd(configuration, 'high')],
  [`${ignitionAdvance.id} low`, ({ configuration }) => advanceEnd(configuration, 'low')],
  [
    'lambda high',
    ({ subject, fault }) =>
      fault === undefined
        ? undefined
        : { value: thresholdsOf(singleFaultBeyondLimit, subject).leanest!, at: singleFaultBeyondLimit.id },
  ],
]);

function advanceEnd({ ignition }: EngineConfiguration, end: 'low' | 'high'): BoundLimit | undefined {
  const range = ignition?.advance_range;
  return range && { value: range[end].canonical, at: pathText(pathOf(range.node)) };
}

/** The limit of a value on one side; undefined if there is none. */
export const limitIn = (id: string, side: Side, held: Held): BoundLimit | undefined =>
  LIMITS.get(`${id} ${side}`)?.(held);
