import type { EngineConfiguration } from '../../generated/configuration.ts';
import {
  type Direction,
  gaugeAsIn,
  type Limit,
  limitsOfAll,
  type Threshold,
  writtenValues,
} from '../derived/protection.ts';
import { sensorsMeasuring } from '../derived/sensor-reading.ts';
import { maximumOf } from '../extremes.ts';
import { measuredQuantity } from '../quantity/index.ts';
import type { Node } from '../source/tree.ts';
import { type Check, type EngineSubject, engineCheck } from './check.ts';
import { quote } from './form-words.ts';
import { inUnitOf, quantityLabel } from './protection-words.ts';
import { passes } from './threshold.ts';
import { formatStated, statedBeside } from './words.ts';

const nameOfQuantity = ({ watches }: Pick<Limit, 'watches'>): string =>
  measuredQuantity(watches)?.entry.name ?? watches;

/** What damages a part: the setting for a quantity in one direction. */
const BEARABLE = [
  ['exhaust_gas_temperature', 'above', 'exhaust'],
  ['coolant_temperature', 'above', 'coolant'],
  ['oil_temperature', 'above', 'oil'],
  ['charge_temperature', 'above', 'charge'],
  ['oil_pressure', 'below', 'oil_pressure'],
] as const satisfies readonly (readonly [string, Direction, string])[];

/** The value of a threshold furthest into danger; a lower limit that rises with speed counts where it is highest. */
const furthest = (threshold: Threshold): number | undefined => {
  const values = writtenValues(threshold).map(({ canonical }) => canonical);
  return values.length > 0 ? maximumOf(values) : undefined;
};

/** Whether an air-cooled engine measures its cylinder heads as `coolant_temperature`; they withstand more. */
const isOfHead = (configuration: EngineConfiguration, { name, watches }: Limit): boolean =>
  nameOfQuantity({ watches }) === 'coolant_temperature' &&
  [name, ...sensorsMeasuring(configuration, watches).map(([sensor]) => sensor)].some((one) =>
    /\bhead|\bcht|\bcylinder/.test(wordsOf(one)),
  );

export const limitBeyondPart: Check = engineCheck({
  id: 'limit-beyond-part',
  severity: 'warning',
  title: 'Limit beyond what parts withstand',
  page: {
    catches:
      'A warning that comes on only when the part that it protects is already damaged: an exhaust, coolant, oil or charge temperature that is too high, or an oil pressure that is too low at every speed. Without a warning, the caution counts. The limit of the exhaust temperature loop counts too.',
    why: 'A warning is useful only while there is time to act. Above these temperatures the turbine and the exhaust valves lose their strength, the coolant boils or the oil film breaks.',
    example:
      'protection:\n  exhaust_hot: { watches: exhaust_gas_temperature, above: { caution: 980 °C, warning: 1050 °C } }',
    remedy:
      'Lower the warning to what the maker of the part allows. If the maker allows more, set the threshold under `checks` with the reason.',
    basis: 'Common practice, no source.',
  },
  settings: {
    exhaust: { kind: 'temperature', value: '970 °C', meaning: 'Highest exhaust gas temperature.' },
    coolant: { kind: 'temperature', value: '125 °C', meaning: 'Highest coolant temperature.' },
    oil: { kind: 'temperature', value: '140 °C', meaning: 'Highest oil temperature.' },
    charge: { kind: 'temperature', value: '120 °C', meaning: 'Highest charge temperature.' },
    oil_pressure: {
      kind: 'gauge pressure',
      value: '0.5 bar gauge',
      meaning: 'Lowest oil pressure at high speed.',
    },
  },
  *find(subject, settings) {
    for (const limit of limitsOfAll(subject.installation)) {
      const bearable = BEARABLE.find(
        ([quantity, direction]) => quantity === nameOfQuantity(limit) && direction === limit.direction,
      );
      const threshold = limit.warning ?? limit.caution;
      const reached = threshold && furthest(threshold);
      if (!bearable || reached === undefined) continue;
      if (isOfHead(subject.installation.configuration, limit)) continue;
      // Only pressures have a reference.
      const bound = gaugeAsIn(threshold!, settings[bearable[2]]);
      const isUpper = limit.direction === 'above';
      if (isUpper ? !passes(reached, bound) : !passes(bound, reached)) continue;
      yield {
        at: threshold!.node,
        message: `The ${limit.warning ? 'warning' : 'caution'} of ${quote(limit.name)} comes on ${limit.direction} ${inUnitOf(threshold!, reached)}; ${quantityLabel(limit.watches).toLowerCase()} ${isUpper ? 'above' : 'below'} ${inUnitOf(threshold!, bound)} damages the engine.`,
      };
    }
    for (const { limit } of exhaustLoops(subject)) {
      if (!limit || !passes(limit.canonical, settings.exhaust)) continue;
      yield {
        at: limit.node,
        message: `The limit of the exhaust temperature loop is ${statedBeside(limit, '°C')}; exhaust gas temperature above ${formatStated(settings.exhaust, '°C')} damages the engine.`,
      };
    }
  },
});

const exhaustLoops = ({ installation: { engines } }: EngineSubject) =>
  [...new Set(engines.map(({ configuration }) => configuration.closed_loop))].flatMap(
    (loops) => loops?.exhaust_gas_temperature ?? [],
  );

/** The longest useful delay: the setting for a quantity in one direction. */
const PROMPT = [
  ['oil_pressure', 'below', 'pressure'],
  ['fuel_pressure', 'below', 'pressure'],
  ['engine_speed', 'above', 'speed'],
  ['manifold_pressure', 'above', 'speed'],
  ['knock_intensity', 'above', 'speed'],
  ['exhaust_gas_temperature', 'above', 'exhaust'],
  ['coolant_temperature', 'above', 'temperature'],
  ['oil_temperature', 'above', 'temperature'],
  ['charge_temperature', 'above', 'temperature'],
] as const satisfies readonly (readonly [string, Direction, string])[];

export const limitTooSlow: Check = engineCheck({
  id: 'limit-too-slow',
  severity: 'warning',
  title: 'Delay of limit too long',
  page: {
    catches: 'A limit whose `delay` is longer than the engine can withstand the condition.',
    why: 'Bearings without oil pressure fail in seconds, and an engine that overspeeds or detonates fails sooner. A limit that waits longer reports the damage instead of preventing it.',
    example:
      'protection:\n  oil_pressure_low: { watches: oil_pressure, below: { warning: 0.7 bar gauge }, delay: 15 s }',
    remedy: 'Shorten the delay until it only just outlasts a disturbance of the reading.',
    basis: 'Common practice, no source.',
  },
  settings: {
    pressure: { kind: 'time', value: '5 s', meaning: 'Longest delay of a limit on oil or fuel pressure.' },
    speed: {
      kind: 'time',
      value: '1 s',
      meaning: 'Longest delay of a limit on engine speed, manifold pressure or knock.',
    },
    exhaust: { kind: 'time', value: '10 s', meaning: 'Longest delay of a limit on exhaust gas temperature.' },
    temperature: {
      kind: 'time',
      value: '30 s',
      meaning: 'Longest delay of a limit on coolant, oil or charge temperature.',
    },
  },
  *find(subject, settings) {
    for (const limit of limitsOfAll(subject.installation)) {
      const { delay } = limit.section;
      const prompt = PROMPT.find(
        ([quantity, direction]) => quantity === nameOfQuantity(limit) && direction === limit.direction,
      );
      if (!delay || !prompt || !passes(delay.canonical, settings[prompt[2]])) continue;
      yield {
        at: delay.node,
        message: `${quote(limit.name)} waits ${delay.node.text} before it acts; a delay of at most ${formatStated(settings[prompt[2]], 's')} is usual for ${quantityLabel(limit.watches).toLowerCase()}.`,
      };
    }
  },
});

export const actionMakesWorse: Check = engineCheck({
  id: 'action-makes-worse',
  severity: 'warning',
  title: 'Action makes it worse',
  page: {
    catches: 'An upper limit on exhaust gas temperature that retards or cuts the ignition.',
    why: 'A later spark leaves more of the heat in the exhaust, and fuel without a spark burns there. The exhaust gets hotter, which keeps the limit on.',
    example:
      'protection:\n  exhaust_hot: { watches: exhaust_gas_temperature, above: { warning: 930 °C }, action: [light, retard] }',
    remedy: 'Use `reduce-boost` or `limp`, or let the exhaust temperature loop enrich the mixture.',
    basis: 'Exhaust temperature rises with retard: common practice, no source.',
  },
  *find(subject) {
    for (const { name, watches, direction, section } of limitsOfAll(subject.installation)) {
      if (direction !== 'above' || measuredQuantity(watches)?.entry.name !== 'exhaust_gas_temperature')
        continue;
      const action = section.action?.items.find(({ text }) => HEATING.has(text));
      if (!action) continue;
      yield {
        at: action.node,
        message: `${quote(name)} answers hot exhaust with ${quote(action.text)}, which makes the exhaust hotter.`,
      };
    }
  },
});

const HEATING: ReadonlySet<string> = new Set(['retard', 'ignition-cut']);

/** What the names of limits are made of, and the quantities that they can mean. */
const FLUIDS: readonly (readonly [words: RegExp, quantities: RegExp])[] = [
  [/\boil/, /^oil_/],
  [/\bcoolant|\bwater/, /^coolant_/],
  [/\bfuel/, /^fuel_|^injector_/],
  [/\bexhaust|\begt|\bturbine/, /^exhaust_/],
  [/\bcharge|\bintake/, /^charge_|^intake_|^manifold_/],
  [/boost|\bmanifold/, /^manifold_|^charge_|^intake_|^wastegate_/],
];

/** `oil_hot`, `oilHot` and `Oil-hot` begin with the same word. */
const wordsOf = (name: string): string => name.replace(/([a-z])([A-Z])|[_\d]+/g, '$1 $2').toLowerCase();

const fluidsIn = (name: string) => FLUIDS.filter(([words]) => words.test(wordsOf(name)));

/** Whether a sensor of the quantity has a name with one of the words: an air-cooled engine may measure oil as coolant. */
const isNamedSo = (configuration: EngineConfiguration, quantity: string, fluids: typeof FLUIDS): boolean =>
  sensorsMeasuring(configuration, quantity).some(([name]) =>
    fluids.some(([words]) => words.test(wordsOf(name))),
  );

export const limitWatchesOtherQuantity: Check = engineCheck({
  id: 'limit-watches-other-quantity',
  severity: 'warning',
  title: 'Limit watches the wrong quantity',
  page: {
    catches:
      'A limit whose name contains oil, coolant, fuel, exhaust, charge or boost but that watches a quantity of a different one of these.',
    why: 'The pilot reads the name on the panel. A limit on oil that watches the coolant stays off while the oil boils.',
    example: 'protection:\n  oil_hot: { watches: coolant_temperature, above: { warning: 128 °C } }',
    remedy: 'Correct the quantity, or give the limit a name that fits it.',
    basis: 'The meaning of the words.',
  },
  *find(subject) {
    const { configuration } = subject.installation;
    const seen = new Set<Node>();
    for (const limit of limitsOfAll(subject.installation)) {
      const named = fluidsIn(limit.name);
      const quantity = nameOfQuantity(limit);
      const { watches } = limit.section;
      const isOfFluid = FLUIDS.some(([, quantities]) => quantities.test(quantity));
      if (!watches || seen.has(watches.node) || named.length === 0 || !isOfFluid) continue;
      if (named.some(([, quantities]) => quantities.test(quantity))) continue;
      if (isNamedSo(configuration, quantity, named)) continue;
      seen.add(watches.node);
      yield {
        at: watches.node,
        message: `${quote(limit.name)} watches ${quote(watches.text)}, which does not match its name.`,
      };
    }
  },
});
