import { nodeOf } from '../configuration/values.ts';
import { faultsOf, type SensorFault } from '../derived/faults.ts';
import { limitsWithLight } from '../derived/lights.ts';
import { outputsThatDrive } from '../derived/loads.ts';
import { inReference, isBeyond, type Limit, thresholdsOf, writtenValues } from '../derived/protection.ts';
import { type SensorValue, sensorsMeasuring } from '../derived/sensor-reading.ts';
import { missingLight } from './causes.ts';
import { type Check, engineCheck } from './check.ts';
import { quote } from './form-words.ts';
import { faultWords } from './protection-faults.ts';
import { listed } from './words.ts';

/** Whether a reading lights neither light of a limit at one or more points of its curves. */
function staysDark(limit: Limit, reading: SensorValue): boolean {
  const thresholds = thresholdsOf(limit);
  const isDark = ({ threshold }: (typeof thresholds)[number]) =>
    writtenValues(threshold).some(({ canonical }) => {
      const bound = inReference(reading.reference, threshold, canonical);
      return bound !== undefined && !isBeyond(limit.direction, reading.canonical, bound);
    });
  return thresholds.length > 0 && thresholds.every(isDark);
}

const NO_STATUS_LIGHT =
  ' No output drives a light with the meaning `status`, so nothing shows the sensor fault either.';

/** The limits that do not light after a fault of their only sensor, by name. */
function darkened(limits: readonly Limit[], { value }: SensorFault): ReadonlyMap<string, Limit> {
  return new Map(limits.filter((limit) => staysDark(limit, value)).map((limit) => [limit.name, limit]));
}

export const lightLostWithSensor: Check = engineCheck({
  id: 'light-lost-with-sensor',
  severity: 'warning',
  title: 'Failed sensor disables a limit',
  page: {
    catches:
      'A limit with the action `light` and a single sensor whose substitute value reaches neither caution nor warning. Without `fault_outside`, the reading of a broken wire is used instead of the substitute value. A fault that the controller notices is skipped if there is a light with the meaning `status`.',
    why: 'When the sensor fails, the limit no longer works: the light stays off whatever the engine does, and the pilot assumes that the engine is healthy.',
    example:
      'sensors:\n  oil_temperature: { ..., fault_outside: 0.1..4.9 V, substitute: 90 °C }\nprotection:\n  oil_hot: { watches: oil_temperature, above: { warning: 128 °C }, action: [light] }   # and no light with the meaning status',
    remedy:
      'Add a light with the meaning `status`, with which the controller reports its own faults. Or choose a substitute value beyond the limit, omit the substitute value, or fit a second sensor. Write `fault_outside` so that the controller notices a broken wire.',
    basis:
      'The meaning of the keys. That a controller reports its faults with a status light is common practice, no source.',
  },
  *find({ installation }) {
    const { configuration, engines } = installation;
    const hasStatusLight = outputsThatDrive(configuration, 'light').some(
      ({ output }) => output.meaning?.text === 'status',
    );
    const limits = engines.flatMap((engine) => limitsWithLight(engine.configuration));
    for (const watches of new Set(limits.map((limit) => limit.watches))) {
      const [only, ...others] = sensorsMeasuring(configuration, watches);
      if (!only || others.length > 0) continue;
      const watching = limits.filter((limit) => limit.watches === watches);
      for (const fault of faultsOf(only[0], installation)) {
        // With fault bounds but no substitute the file does not say what the controller does.
        if (fault.noticed && (hasStatusLight || fault.case !== 'substitute')) continue;
        const dark = darkened(watching, fault);
        if (dark.size === 0) continue;
        const names = [...dark.keys()];
        yield {
          at: fault.node,
          message: `${faultWords(fault)}, and ${listed(names.map(quote))} may not light when ${names.length === 1 ? 'it' : 'they'} should.${fault.noticed ? NO_STATUS_LIGHT : ''}`,
          cause: fault.noticed ? missingLight('status') : nodeOf(fault.sensor),
          related: [...dark.values()].map(({ name, section }) => ({
            at: nodeOf(section),
            message: `The limit ${quote(name)}.`,
          })),
        };
      }
    }
  },
});
