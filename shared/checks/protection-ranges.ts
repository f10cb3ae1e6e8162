import type { Installation } from '../configuration/installation.ts';
import { nodeOf } from '../configuration/values.ts';
import { SEA_LEVEL } from '../derived/full-load.ts';
import {
  type Direction,
  type Limit,
  limitsOf,
  referenceOf,
  thresholdsOf,
  writtenValues,
} from '../derived/protection.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { type Check, engineCheck, type Found, type Setting } from './check.ts';
import { quote } from './form-words.ts';
import { inUnitOf, quantityLabel } from './protection-words.ts';
import { voltageFactor } from './supply-voltage.ts';
import { passes } from './threshold.ts';
import { formatStated } from './words.ts';

/** All limits, of the file and of each map set. */
const limits = ({ engines }: Installation): Limit[] =>
  engines.flatMap(({ configuration }) => limitsOf(configuration));

/** The settings with the ends of the usual range of a limit, by the quantity that it watches. */
interface UsualLimit {
  readonly quantity: string;
  readonly direction: Direction;
  readonly low: keyof typeof ends;
  readonly high: keyof typeof ends;
}

const temperature = (value: string, meaning: string): Setting => ({ kind: 'temperature', value, meaning });
const pressure = (value: string, meaning: string): Setting => ({ kind: 'gauge pressure', value, meaning });
const voltage = (value: string, meaning: string): Setting => ({ kind: 'voltage', value, meaning });

const ends = {
  oil_pressure_lowest: pressure('0.3 bar gauge', 'Lowest usual limit of low oil pressure, at any speed.'),
  oil_pressure_highest: pressure('4.5 bar gauge', 'Highest usual limit of low oil pressure.'),
  oil_hot_lowest: temperature('95 °C', 'Lowest usual limit of hot oil.'),
  oil_hot_highest: temperature('150 °C', 'Highest usual limit of hot oil.'),
  coolant_hot_lowest: temperature('85 °C', 'Lowest usual limit of hot coolant.'),
  coolant_hot_highest: temperature('130 °C', 'Highest usual limit of hot coolant, under pressure.'),
  charge_hot_lowest: temperature('40 °C', 'Lowest usual limit of hot charge air.'),
  charge_hot_highest: temperature('110 °C', 'Highest usual limit of hot charge air.'),
  exhaust_hot_lowest: temperature('750 °C', 'Lowest usual limit of hot exhaust.'),
  exhaust_hot_highest: temperature('1000 °C', 'Highest usual limit of hot exhaust.'),
  battery_low_lowest: voltage('9.5 V', 'Lowest usual limit of low voltage, in a 12 V system.'),
  battery_low_highest: voltage('13.6 V', 'Highest usual limit of low voltage, in a 12 V system.'),
  battery_high_lowest: voltage('14.2 V', 'Lowest usual limit of high voltage, in a 12 V system.'),
  battery_high_highest: voltage('17 V', 'Highest usual limit of high voltage, in a 12 V system.'),
} as const satisfies Record<string, Setting>;

const USUAL: readonly UsualLimit[] = [
  { quantity: 'oil_pressure', direction: 'below', low: 'oil_pressure_lowest', high: 'oil_pressure_highest' },
  { quantity: 'oil_temperature', direction: 'above', low: 'oil_hot_lowest', high: 'oil_hot_highest' },
  {
    quantity: 'coolant_temperature',
    direction: 'above',
    low: 'coolant_hot_lowest',
    high: 'coolant_hot_highest',
  },
  {
    quantity: 'charge_temperature',
    direction: 'above',
    low: 'charge_hot_lowest',
    high: 'charge_hot_highest',
  },
  {
    quantity: 'exhaust_gas_temperature',
    direction: 'above',
    low: 'exhaust_hot_lowest',
    high: 'exhaust_hot_highest',
  },
  { quantity: 'battery_voltage', direction: 'below', low: 'battery_low_lowest', high: 'battery_low_highest' },
  {
    quantity: 'battery_voltage',
    direction: 'above',
    low: 'battery_high_lowest',
    high: 'battery_high_highest',
  },
];

export const limitUnusual: Check = engineCheck({
  id: 'limit-unusual',
  severity: 'warning',
  title: 'Limit outside its usual range',
  page: {
    catches:
      'A caution or warning on oil pressure, oil, coolant, charge or exhaust temperature or battery voltage that is far from where such limits are set.',
    why: 'A limit that comes on too late protects a part that has already failed. One that comes on in normal operation is soon ignored.',
    example:
      'protection:\n  oil_hot: { watches: oil_temperature, above: { caution: 160 °C, warning: 175 °C }, ... }',
    remedy:
      'Write the limit of the engine maker. If it really is outside the range, change the threshold under `checks:` with that reason.',
    basis: 'Common practice, no source. The limits of the engine maker apply.',
  },
  settings: ends,
  *find({ installation }, settings): Generator<Found> {
    const factor = voltageFactor(installation.configuration);
    for (const limit of limits(installation)) {
      const name = measuredQuantity(limit.watches)?.entry.name;
      const range = USUAL.find((one) => one.quantity === name && one.direction === limit.direction);
      if (!range) continue;
      const scale = name === 'battery_voltage' ? factor : 1;
      yield* outside(limit, settings[range.low] * scale, settings[range.high] * scale);
    }
  },
});

/** The first value of each threshold outside a range of canonical values; a gauge pressure in a range of gauge pressures. */
function* outside(limit: Limit, low: number, high: number): Generator<Found> {
  for (const { level, threshold } of thresholdsOf(limit)) {
    const offset = referenceOf(threshold) === 'absolute' ? -SEA_LEVEL : 0;
    const found = writtenValues(threshold).find(
      ({ canonical }) => passes(low, canonical + offset) || passes(canonical + offset, high),
    );
    if (!found) continue;
    const ends = [low, high].map((end) => inUnitOf(threshold, end - offset));
    yield {
      at: found.node,
      message: `The ${level} of ${quote(limit.name)} is at ${inUnitOf(threshold, found.canonical)}; ${ends[0]} to ${ends[1]} is usual ${limit.direction === 'above' ? 'for a high' : 'for a low'} ${quantityLabel(limit.watches).toLowerCase()}.`,
      cause: nodeOf(limit.section),
    };
  }
}

/** The setting with the longest usual delay of a limit, by the quantity that it watches. */
const DELAYS: Readonly<Record<string, keyof typeof delays>> = {
  engine_speed: 'instant',
  manifold_pressure: 'instant',
  knock_intensity: 'instant',
  oil_pressure: 'pressure',
  fuel_pressure: 'pressure',
  lambda: 'pressure',
  exhaust_gas_temperature: 'pressure',
  charge_temperature: 'temperature',
  coolant_temperature: 'temperature',
  oil_temperature: 'temperature',
  battery_voltage: 'temperature',
};

const delays = {
  instant: {
    kind: 'time',
    value: '1 s',
    meaning: 'Longest usual delay on speed, manifold pressure and knock.',
  },
  pressure: {
    kind: 'time',
    value: '5 s',
    meaning: 'Longest usual delay on oil and fuel pressure, lambda and exhaust temperature.',
  },
  temperature: {
    kind: 'time',
    value: '20 s',
    meaning: 'Longest usual delay on temperatures of oil, coolant and charge, and on voltage.',
  },
} as const satisfies Record<string, Setting>;

export const limitDelayLong: Check = engineCheck({
  id: 'limit-delay-long',
  severity: 'warning',
  title: 'Limit acts too late',
  page: {
    catches: 'A limit whose `delay` is longer than is usual for the quantity that it watches.',
    why: 'The delay keeps a short disturbance from tripping the limit. Bearings without oil, or pistons under overboost, fail within seconds, so a longer delay is no protection.',
    example: 'protection:\n  oil_pressure_low: { watches: oil_pressure, below: { ... }, delay: 15 s }',
    remedy: 'Shorten the delay to the length of the disturbance that it must outlast.',
    basis: 'Common practice, no source.',
  },
  settings: delays,
  *find({ installation: { engines } }, settings): Generator<Found> {
    for (const { configuration } of engines) {
      for (const [name, section] of Object.entries(configuration.protection ?? {})) {
        const quantity = measuredQuantity(section?.watches?.text ?? '')?.entry;
        const setting = quantity && DELAYS[quantity.name];
        const delay = section?.delay;
        if (!delay || !setting || !passes(delay.canonical, settings[setting])) continue;
        yield {
          at: delay.node,
          message: `${quote(name)} acts only after ${delay.node.text}; at most ${formatStated(settings[setting], 's')} is usual for ${quantity.label.toLowerCase()}.`,
        };
      }
    }
  },
});
