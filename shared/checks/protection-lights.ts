import type { EngineConfiguration } from '../../generated/configuration.ts';
import { nodeOf } from '../configuration/values.ts';
import { faultsOf, type SensorFault } from '../derived/faults.ts';
import { outputsThatDrive } from '../derived/loads.ts';
import {
  inReference,
  isBeyond,
  type Limit,
  limitsOf,
  thresholdsOf,
  writtenValues,
} from '../derived/protection.ts';
import { type SensorValue, sensorsMeasuring } from '../derived/sensor-reading.ts';
import { type Check, engineCheck } from './check.ts';
import { faultWords } from './protection-faults.ts';
import { listed } from './words.ts';

const lightsOf = (configuration: EngineConfiguration): Limit[] =>
  limitsOf(configuration).filter(({ section }) => section.action?.items.some(({ text }) => text === 'light'));

/** Whether a reading lights neither light of a limit, at one place of its curves at least. */
function staysDark(limit: Limit, reading: SensorValue): boolean {
  const thresholds = thresholdsOf(limit);
  const isDark = ({ threshold }: (typeof thresholds)[number]) =>
    writtenValues(threshold).some(({ canonical }) => {
      const bound = inReference(reading.quantity?.reference, threshold, canonical);
      return bound !== undefined && !isBeyond(limit.direction, reading.canonical, bound);
    });
  return thresholds.length > 0 && thresholds.every(isDark);
}

/** The limits that a fault of their only sensor keeps dark, by their names. */
function darkened(limits: readonly Limit[], { value }: SensorFault): ReadonlyMap<string, Limit> {
  return new Map(limits.filter((limit) => staysDark(limit, value)).map((limit) => [limit.name, limit]));
}

export const lightLostWithSensor: Check = engineCheck({
  id: 'light-lost-with-sensor',
  severity: 'warning',
  title: 'One failed sensor keeps a light dark',
  page: {
    catches:
      'A limit with the action `light` whose quantity only one sensor measures, where the substitute of that sensor, or the reading of its broken wire where no `fault_outside` lets it be noticed, stands on the safe side of caution and warning. A fault that is noticed is passed over where a light of meaning `status` can tell of it.',
    why: 'With the sensor the guard is lost as well: whatever the engine does, the light stays dark, and a dark light is taken for a healthy engine.',
    example:
      'sensors:\n  oil_temperature: { ..., fault_outside: 0.1..4.9 V, substitute: 90 °C }\nprotection:\n  oil_hot: { watches: oil_temperature, above: { warning: 128 °C }, action: [light] }   # and no light of meaning status',
    remedy:
      'Drive a light of meaning `status`, with which the controller tells of its own faults; or take a substitute beyond the limit, write none, or fit a second sensor. Write `fault_outside` so that a broken wire is noticed.',
    basis:
      'Follows from the meaning of the keys. That a controller tells of its faults by a status light is common practice, no source.',
  },
  *find({ installation }) {
    const { configuration, engines } = installation;
    const tellsOfFaults = outputsThatDrive(configuration, 'light').some(
      ({ output }) => output.meaning?.text === 'status',
    );
    const limits = engines.flatMap((engine) => lightsOf(engine.configuration));
    for (const watches of new Set(limits.map((limit) => limit.watches))) {
      const [only, ...others] = sensorsMeasuring(configuration, watches);
      if (!only || others.length > 0) continue;
      const watching = limits.filter((limit) => limit.watches === watches);
      for (const fault of faultsOf(only[0], installation)) {
        // With bounds and nothing to stand in, what the controller does is not written.
        if (fault.noticed && (tellsOfFaults || fault.case !== 'substitute')) continue;
        const dark = darkened(watching, fault);
        if (dark.size === 0) continue;
        const names = [...dark.keys()];
        yield {
          at: fault.node,
          message: `${faultWords(fault)}: ${listed(names)} can stay dark in danger.`,
          related: [...dark.values()].map(({ name, section }) => ({
            at: nodeOf(section),
            message: `The limit ${name}.`,
          })),
        };
      }
    }
  },
});
