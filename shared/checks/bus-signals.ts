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
import { isStatus } from '../derived/bus-states.ts';
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
import { checkEach } from './each.ts';
import { passes } from './threshold.ts';
import { formatQuantity } from './words.ts';

/** The values that a signal must carry, in canonical units, and where they are stated. */
interface Demand {
  readonly low: number;
  readonly high: number;
  /** The words before the value in a message: `its range extends to`. */
  readonly whose: string;
  /** Where the values are stated, outside the signal. */
  readonly at: Node | undefined;
  readonly stated: boolean;
}

/** The range that the signal states; undefined if it has another kind of unit than the scale. */
function demandOfRange({ range, scale }: BusSignal): Demand | undefined {
  if (!range || !scale || dimensionIn(range.high) !== dimensionIn(scale.quantity)) return undefined;
  const [low, high] = [range.low.canonical, range.high.canonical];
  return { low, high, whose: 'its range extends to', at: range.node, stated: true };
}

/** The range that the signal states, or else the ranges of its sensors or the maximum speed of the engine. */
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
    const whose = 'the maximum speed of the engine is';
    return [{ low: 0, high: maximum.canonical, whose, at: maximum.node, stated: true }];
  }
  return sensorsMeasuring(configuration, name).flatMap(([sensorName, sensor]) => {
    const values = reportable(installation, sensor);
    if (!values || (reference && values.reference && reference !== values.reference)) return [];
    const { low, high } = values;
    return [
      {
        low,
        high,
        whose: `the readings of the sensor \`${sensorName}\` extend to`,
        at: nodeOf(sensor),
        stated: false,
      },
    ];
  });
}

export const busSignalCannotHoldRange: Check = engineCheck({
  id: 'bus-signal-cannot-hold-range',
  severity: 'error',
  title: 'Signal range too small',
  page: {
    catches:
      'A signal whose bits, scale and offset do not cover its stated `range`. Without `range`, `engine_speed` must cover the maximum speed of the engine, and other signals the range of their sensor (a warning). Half a count is allowed for rounding.',
    why: 'Beyond its last count a signal stays at its end value or starts again from zero: a display shows 5 kPa when the pressure is 260 kPa.',
    example:
      'manifold_pressure: { start_bit: 16, bits: 8, scale: 0.5 kPa, offset: 0 kPa abs, range: 0..250 kPa abs }',
    remedy:
      'Use more bits, a coarser scale or another offset, or make the signal signed. If the display does not need the whole range, state a smaller one.',
    basis: 'Arithmetic: value = count × scale + offset.',
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
            message: `\`${one.name}\` can carry ${valueText(low)} to ${valueText(high)}, but ${demand.whose} ${formatQuantity(missing, coding.show)}.`,
            related: demand.at ? [{ at: demand.at, message: 'The range to cover.' }] : [],
            fixes: widening(message, one, place, coding, demand),
            // A range in °C with counts from 0 K is short because the offset is missing.
            cause: signal.offset ? undefined : signal.scale!.node,
          };
          break;
        }
      }
    }
  },
});

/**
 * The signals of a message that may not carry what the installation needs: all except those that cover their own stated
 * range.
 */
const doubtfulSignalsEach = memoMap(({ message }: NamedMessage) =>
  signalsOf(message).filter(({ signal }) => !isStatus(signal) && !holdsItsRange(signal)),
);

function holdsItsRange(signal: BusSignal): boolean {
  const [demand, coding] = [demandOfRange(signal), codingOf(signal)];
  const [low, high] = [signalLowest.ofSignal(signal), signalHighest.ofSignal(signal)];
  if (!demand || !coding || !low || !high) return false;
  return shortfall(demand, coding, low.canonical, high.canonical) === undefined;
}

/** The end of the demand that the signal does not reach, apart from rounding; undefined if it covers both. */
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

/** Fixes: more bits if they are free, or a sign if that is enough. */
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
    fixes.push({ title: 'Set `signed: true`', safety: 'choice', edits: [edit] });
  }
  for (let bits = place.bits + 1; bits <= 64; bits++) {
    const wider = { ...place, bits };
    if (!holds(wider)) continue;
    if (signalFits(wider, dataBits(message) ?? 0) && areFree(message, signalBits(wider), signal))
      fixes.push({
        title: `Change to ${bits} bits, which cover the range`,
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
  title: 'Signal resolution too coarse',
  page: {
    catches:
      'A signal for which one count is larger than the smallest distance between caution and warning of a limit on its quantity, in any map set.',
    why: 'The display can jump from below the caution to beyond the warning in one count, so the pilot never sees the caution.',
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

const coarseEach = checkEach(function* (
  { message }: NamedMessage,
  watching: (name: string) => readonly Gap[],
): Iterable<Found> {
  for (const { name, signal } of signalsOf(message)) {
    if (isStatus(signal)) continue;
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

/** Returns the gaps of the limits on a quantity; cached, as many messages carry the same quantities. */
const gapsWatching = memo((limits: readonly Limit[]): ((name: string) => readonly Gap[]) => {
  const gaps = limits.map(gapOf).filter(({ gap }) => Number.isFinite(gap));
  const known = new Map<string, readonly Gap[]>();
  return (name) => {
    const watching = known.get(name) ?? gaps.filter(({ limit }) => isSameQuantity(limit.watches, name));
    known.set(name, watching);
    return watching;
  };
});

/** The smallest distance between caution and warning; infinite if there is none. */
function gapOf(limit: Limit): Gap {
  const [first] = thresholdsOf(limit);
  const gaps = thresholdPairs(limit).map(({ caution, warning }) => Math.abs(warning - caution));
  return { limit, gap: minimumOf(gaps), unit: first ? unitOf(first.threshold) : '' };
}

function coarseText(name: string, step: DerivedValue, limit: string, gap: number, unit: string): string {
  return `One count of \`${name}\` is ${valueText(step)}, larger than the ${formatQuantity(gap, differenceUnit(unit))} between caution and warning of \`${limit}\`.`;
}

const isOfDimension = (unit: string, dimension: string): boolean =>
  (unit === '' ? 'ratio' : splitUnit(unit)?.unit.dimension) === dimension;

/** A limit without a number watches all quantities of its kind. */
function isSameQuantity(watched: string, carried: string): boolean {
  const [limit, signal] = [measuredQuantity(watched), measuredQuantity(carried)];
  if (!limit || limit.entry !== signal?.entry) return false;
  return limit.index === undefined || signal.index === undefined || limit.index === signal.index;
}
