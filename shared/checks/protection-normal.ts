import { nodeOf } from '../configuration/values.ts';
import {
  type Direction,
  gaugeAsIn,
  isBeyond,
  type Limit,
  limitsOfAll,
  thresholdsOf,
  writtenValues,
} from '../derived/protection.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { quote, withArticle } from './form-words.ts';
import { inUnitOf, quantityLabel } from './protection-words.ts';
import { voltageFactor } from './supply-voltage.ts';

/** The setting with the value at which a limit comes on in normal operation, by the quantity that it watches. */
const NORMAL = [
  ['oil_pressure', 'below', 'oil_pressure'],
  ['oil_temperature', 'above', 'oil'],
  ['coolant_temperature', 'above', 'coolant'],
  ['charge_temperature', 'above', 'charge'],
  ['exhaust_gas_temperature', 'above', 'exhaust'],
  ['battery_voltage', 'below', 'low_voltage'],
  ['battery_voltage', 'above', 'high_voltage'],
] as const satisfies readonly (readonly [quantity: string, Direction, setting: string])[];

export const limitInNormalOperation: Check = engineCheck({
  id: 'limit-in-normal-operation',
  severity: 'warning',
  title: 'Limit within normal operation',
  page: {
    catches:
      'A caution or warning on oil pressure, on the temperature of oil, coolant, charge or exhaust, or on battery voltage that comes on where a healthy engine runs.',
    why: 'A light that is on in every flight is soon ignored, and an action that comes with it takes power away from a healthy engine.',
    example:
      'protection:\n  oil_hot: { watches: oil_temperature, above: { caution: 80 °C, warning: 88 °C }, ... }',
    remedy:
      'Write the limit of the engine maker. If it really is that close, change the threshold under `checks:` with that reason.',
    basis: 'Common practice, no source. The limits of the engine maker apply.',
  },
  settings: {
    oil_pressure: {
      kind: 'gauge pressure',
      value: '4.5 bar gauge',
      meaning: 'Oil pressure that a healthy engine may have at high speed.',
    },
    oil: { kind: 'temperature', value: '95 °C', meaning: 'Usual oil temperature.' },
    coolant: { kind: 'temperature', value: '88 °C', meaning: 'Usual coolant temperature.' },
    charge: { kind: 'temperature', value: '40 °C', meaning: 'Usual charge temperature on a warm day.' },
    exhaust: {
      kind: 'temperature',
      value: '600 °C',
      meaning: 'Exhaust temperature that any engine reaches at full load.',
    },
    low_voltage: {
      kind: 'voltage',
      value: '13.6 V',
      meaning: 'Supply voltage with a charging generator, in a 12 V system.',
    },
    high_voltage: {
      kind: 'voltage',
      value: '14.2 V',
      meaning: 'Highest supply voltage with a charging generator, in a 12 V system.',
    },
  },
  *find({ installation }, settings): Generator<Found> {
    const factor = voltageFactor(installation.configuration);
    for (const limit of limitsOfAll(installation)) {
      const name = measuredQuantity(limit.watches)?.entry.name;
      const normal = NORMAL.find(
        ([quantity, direction]) => quantity === name && direction === limit.direction,
      );
      if (!normal) continue;
      const scale = name === 'battery_voltage' ? factor : 1;
      yield* within(limit, settings[normal[2]] * scale);
    }
  },
});

/** The first value of each threshold that comes on at a canonical value of normal operation; a pressure is gauge. */
function* within(limit: Limit, normal: number): Generator<Found> {
  for (const { level, threshold } of thresholdsOf(limit)) {
    const at = gaugeAsIn(threshold, normal);
    const found = writtenValues(threshold).find(({ canonical }) => isBeyond(limit.direction, at, canonical));
    if (!found) continue;
    yield {
      at: found.node,
      message: `The ${level} of ${quote(limit.name)} comes on ${limit.direction} ${inUnitOf(threshold, found.canonical)}; ${withArticle(quantityLabel(limit.watches).toLowerCase())} of ${inUnitOf(threshold, at)} is normal.`,
      cause: nodeOf(limit.section),
    };
  }
}
