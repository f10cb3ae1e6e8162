import type { BusMessage, BusSignal } from '../../generated/configuration.ts';
import { differingIn } from '../configuration/installation.ts';
import { nodeOf } from '../configuration/values.ts';
import {
  areFree,
  codingOf,
  dataBits,
  dimensionIn,
  messagesOf,
  type NamedMessage,
  type NamedSignal,
  placeOf,
  type SignalCoding,
  signalHighest,
  signalLowest,
  signalResolution,
  signalsOf,
} from '../derived/bus-signals.ts';
import { type Limit, limitsOf, thresholdPairs, thresholdsOf, unitOf } from '../derived/protection.ts';
import { reportable, sensorsMeasuring } from '../derived/sensor-reading.ts';
import { type DerivedValue, valueText } from '../derived/value.ts';
import { minimumOf } from '../extremes.ts';
import { memo, memoMap } from '../memo.ts';
import { type BusSignal as SignalPlace, signalBits, signalFits, signalRange } from '../physics/bus-signal.ts';
import { differenceUnit, measuredQuantity, splitUnit } from '../quantity/index.ts';
import { insertEntry, replace } from '../source/edit.ts';
import type { Node } from '../source/tree.ts';
import { type Check, type EngineSubject, engineCheck, type Fix, type Found } from './check.ts';
import { judgeEach } from './each.ts';
import { passes } from './threshold.ts';
import { formatQuantity } from './words.ts';

/** The values that a signal has to carry, in canonical units, and who says so. */
interface Demand {
  readonly low: number;
  readonly high: number;
  /** As it goes before "reaches 300 kPa abs". */
  readonly whose: string;
  /** Where the demand is written, beside the signal. */
  readonly at: Node | undefined;
  readonly stated: boolean;
}

/** The range that the signal states; undefined where it is none of what a count is worth. */
function demandOfRange({ range, scale }: BusSignal): Demand | undefined {
  if (!range || !scale || dimensionIn(range.high) !== dimensionIn(scale.quantity)) return undefined;
  const [low, high] = [range.low.canonical, range.high.canonical];
  return { low, high, whose: 'its range', at: range.node, stated: true };
}

/** The range that the signal states; else what its sensors report, or how far the engine may rev. */
function demandsOf(
  { installation }: EngineSubject,
  { name, signal }: NamedSignal,
  { reference }: SignalCoding,
): Demand[] {
  if (signal.range) {
    const stated = demandOfRange(signal);
    return stated ? [stated] : [];
  }
  const { configuration } = installation;
  const maximum = configuration.engine?.maximum_speed;
  if (name === 'engine_speed' && maximum) {
    const whose = 'the maximum speed of the engine';
    return [{ low: 0, high: maximum.canonical, whose, at: maximum.node, stated: true }];
  }
  return sensorsMeasuring(configuration, name).flatMap(([sensorName, sensor]) => {
    const values = reportable(installation, sensor);
    if (!values || (reference && values.reference && reference !== values.reference)) return [];
    const { low, high } = values;
    return [{ low, high, whose: `the sensor \`${sensorName}\``, at: nodeOf(sensor), stated: false }];
  });
}

export const busSignalCannotHoldRange: Check = engineCheck({
  id: 'bus-signal-cannot-hold-range',
  severity: 'error',
  title: 'The bits cannot hold the range of the signal',
  page: {
    catches:
      'A signal whose bits, scale and offset do not reach its stated range; without one, the maximum speed of the engine for `engine_speed`, or what the sensor of the quantity can report (then a warning). Half a count is left for rounding.',
    why: 'At the end of its counts a number holds still or starts again from the bottom: the display shows 5 kPa of boost where there are 260.',
    example:
      'manifold_pressure: { start_bit: 16, bits: 8, scale: 0.5 kPa, offset: 0 kPa abs, range: 0..250 kPa abs }',
    remedy:
      'Use more bits, a coarser scale or another offset, or make the signal signed. A range that the display does not need may be stated smaller.',
    basis: 'Arithmetic: count times scale plus offset.',
  },
  *find(subject) {
    const messages = messagesOf(subject.installation.configuration);
    const doubtful = doubtfulSignalsEach(messages, undefined);
    for (let i = 0; i < messages.length; i++) {
      for (const one of doubtful[i]!) {
        const [{ message }, { signal }] = [messages[i]!, one];
        const [place, coding] = [placeOf(signal), codingOf(signal)];
        const low = signalLowest.ofSignal(signal);
        const high = signalHighest.ofSignal(signal);
        if (!place || !coding || !low || !high) continue;
        for (const demand of demandsOf(subject, one, coding)) {
          const missing = shortfall(demand, coding, low.canonical, high.canonical);
          if (missing === undefined) continue;
          yield {
            at: signal.bits!.node,
            severity: demand.stated ? 'error' : 'warning',
            message: `\`${one.name}\` carries ${valueText(low)} to ${valueText(high)}, but ${demand.whose} reaches ${formatQuantity(missing, coding.show)}.`,
            related: demand.at ? [{ at: demand.at, message: 'What has to be carried.' }] : [],
            fixes: widening(message, one, place, coding, demand),
          };
          break;
        }
      }
    }
  },
});

/** The signals of a message that hold no range that they state themselves: of these the installation may demand more. */
const doubtfulSignalsEach = memoMap(({ message }: NamedMessage) =>
  signalsOf(message).filter(({ signal }) => !holdsItsRange(signal)),
);

function holdsItsRange(signal: BusSignal): boolean {
  const [demand, coding] = [demandOfRange(signal), codingOf(signal)];
  const [low, high] = [signalLowest.ofSignal(signal), signalHighest.ofSignal(signal)];
  if (!demand || !coding || !low || !high) return false;
  return shortfall(demand, coding, low.canonical, high.canonical) === undefined;
}

/** The end of what is demanded that lies outside what is carried by more than rounding; undefined where none does. */
function shortfall(
  demand: Pick<Demand, 'low' | 'high'>,
  { step }: SignalCoding,
  low: number,
  high: number,
): number | undefined {
  const rounding = Math.abs(step) * (0.5 + 1e-9);
  if (Number.isFinite(demand.high) && demand.high > high + rounding) return demand.high;
  if (Number.isFinite(demand.low) && demand.low < low - rounding) return demand.low;
  return undefined;
}

/** More bits where they are free, or a sign where that alone will do. */
function widening(
  message: BusMessage,
  { signal }: NamedSignal,
  place: SignalPlace,
  coding: SignalCoding,
  demand: Demand,
): Fix[] {
  const holds = (changed: SignalPlace) =>
    shortfall(demand, coding, ...signalRange(changed, coding.step, coding.zero)) === undefined;
  const fixes: Fix[] = [];
  const mapping = nodeOf(signal);
  if (holds({ ...place, signed: true }) && mapping.type === 'mapping') {
    const edit = signal.signed
      ? replace(signal.signed.node, 'true')
      : insertEntry(mapping, 'signed', { line: 'true' }, mapping.entry('bits'));
    fixes.push({ title: 'Make the signal signed', safety: 'choice', edits: [edit] });
  }
  for (let bits = place.bits + 1; bits <= 64; bits++) {
    const wider = { ...place, bits };
    if (!holds(wider)) continue;
    if (signalFits(wider, dataBits(message) ?? 0) && areFree(message, signalBits(wider), signal))
      fixes.push({
        title: `Use ${bits} bits, which hold it`,
        safety: 'choice',
        edits: [replace(signal.bits!.node, String(bits))],
      });
    break;
  }
  return fixes;
}

export const busResolutionCoarse: Check = engineCheck({
  id: 'bus-resolution-coarse',
  severity: 'warning',
  title: 'A count is larger than the gap between caution and warning',
  page: {
    catches:
      'A signal whose step is larger than the smallest distance between the caution and the warning of a limit that watches its quantity, in any map set.',
    why: 'The display can jump from below the caution to above the warning in one count, so the pilot never sees the state that the caution is for.',
    example:
      'protection:\n  oil_hot: { watches: oil_temperature, above: { caution: 120 °C, warning: 125 °C } }\nbus:\n  messages:\n    slow:\n      signals:\n        oil_temperature: { start_bit: 0, bits: 5, scale: 8 K, offset: -40 °C }',
    remedy: 'Use a finer scale and, to keep the range, more bits.',
    basis: 'Common practice, no source.',
  },
  *find({ installation: { configuration, engines } }) {
    const messages = messagesOf(configuration);
    for (const { configuration: one } of differingIn(engines, 'protection'))
      yield* coarseEach(messages, gapsWatching(limitsOf(one)));
  },
});

const coarseEach = judgeEach(function* (
  { message }: NamedMessage,
  watching: (name: string) => readonly Gap[],
): Iterable<Found> {
  for (const { name, signal } of signalsOf(message)) {
    for (const { limit, gap, unit } of watching(name)) {
      const resolution = signalResolution.ofSignal(signal);
      if (!resolution || !signal.scale || !passes(resolution.canonical, gap)) continue;
      if (!isOfDimension(unit, dimensionIn(signal.scale.quantity))) continue;
      yield {
        at: signal.scale.node,
        message: coarseText(name, resolution, limit.name, gap, unit),
        related: thresholdsOf(limit).map(({ level, threshold }) => ({
          at: threshold.node,
          message: `The ${level} of \`${limit.name}\`.`,
        })),
      };
    }
  }
});

interface Gap {
  readonly limit: Limit;
  readonly gap: number;
  readonly unit: string;
}

/** Tells of a quantity the gaps of the limits that watch it: many messages carry the same quantities. */
const gapsWatching = memo((limits: readonly Limit[]): ((name: string) => readonly Gap[]) => {
  const gaps = limits.map(gapOf).filter(({ gap }) => Number.isFinite(gap));
  const known = new Map<string, readonly Gap[]>();
  return (name) => {
    const watching = known.get(name) ?? gaps.filter(({ limit }) => isSameQuantity(limit.watches, name));
    known.set(name, watching);
    return watching;
  };
});

/** The least distance between caution and warning; infinite where there is none. */
function gapOf(limit: Limit): Gap {
  const [first] = thresholdsOf(limit);
  const gaps = thresholdPairs(limit).map(({ caution, warning }) => Math.abs(warning - caution));
  return { limit, gap: minimumOf(gaps), unit: first ? unitOf(first.threshold) : '' };
}

function coarseText(name: string, step: DerivedValue, limit: string, gap: number, unit: string): string {
  return `One count of \`${name}\` is ${valueText(step)}; caution and warning of \`${limit}\` are only ${formatQuantity(gap, differenceUnit(unit))} apart.`;
}

const isOfDimension = (unit: string, dimension: string): boolean =>
  (unit === '' ? 'ratio' : splitUnit(unit)?.unit.dimension) === dimension;

/** A limit without a number watches each of several alike. */
function isSameQuantity(watched: string, carried: string): boolean {
  const [limit, signal] = [measuredQuantity(watched), measuredQuantity(carried)];
  if (!limit || limit.entry !== signal?.entry) return false;
  return limit.index === undefined || signal.index === undefined || limit.index === signal.index;
}
