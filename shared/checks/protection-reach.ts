import type { EngineConfiguration, Sensor } from '../../generated/configuration.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import {
  inReference,
  isBeyond,
  type Limit,
  limitsOf,
  referenceOf,
  type Threshold,
  thresholdAtPoint,
  thresholdsOf,
  watchedValue,
  writtenValues,
} from '../derived/protection.ts';
import { type Reportable, reportable, sensorsMeasuring } from '../derived/sensor-reading.ts';
import { placeOfOperand } from '../derived/value.ts';
import { type Check, type EngineSubject, engineCheck, type Found } from './check.ts';
import { judgeEach } from './each.ts';
import { inUnitOf, quantityLabel } from './protection-words.ts';
import { formatQuantity } from './words.ts';

/** A point that stands on the dangerous side of a threshold; the warning's, where it is past both. */
function pointBeyond(point: OperatingPoint, limit: Limit): Found | undefined {
  for (const { level, threshold } of thresholdsOf(limit).reverse()) {
    const value = watchedValue(point, limit.watches, threshold);
    const bound = thresholdAtPoint(point, threshold);
    if (!value || bound === undefined || !isBeyond(limit.direction, value.canonical, bound)) continue;
    const written = placeOfOperand(value);
    return {
      at: written?.parent === point.node ? written : point.node,
      severity: level === 'warning' ? 'error' : 'warning',
      message: `${point.name} stands at ${inUnitOf(threshold, value.canonical)} ${quantityLabel(limit.watches).toLowerCase()}, ${limit.direction} the ${level} of ${limit.name} at ${inUnitOf(threshold, bound)}.`,
      related: [{ at: threshold.node, message: `The ${level} of ${limit.name}.` }],
    };
  }
  return undefined;
}

export const limitInsideOperatingPoint: Check = engineCheck({
  id: 'limit-inside-operating-point',
  severity: 'warning',
  title: 'Operating point beyond its own limit',
  page: {
    catches:
      'An operating point at which a watched quantity that the point states or that is derived there stands beyond the caution; an error where it is beyond the warning.',
    why: 'Either the light is on through the whole climb and the pilot learns to look past it, or the point asks for what the limit is there to prevent.',
    example:
      'protection:\n  hot_charge: { watches: charge_temperature, above: { caution: 55 °C, warning: 65 °C } }   # take_off runs at 58 °C',
    remedy: 'Move the limit, or plan the point inside it.',
    basis: 'The meaning of the keys: the values are those derived at the point.',
  },
  *find({ derivation }) {
    yield* pointsBeyond(derivation.points, undefined);
  },
});

/** A point's engine has the limits that it is held against. */
const pointsBeyond = judgeEach(function* (point: OperatingPoint): Iterable<Found> {
  for (const limit of limitsOf(point.configuration)) {
    const found = pointBeyond(point, limit);
    if (found) yield found;
  }
});

interface SensorReach {
  readonly name: string;
  readonly sensor: Sensor;
  readonly reach: Reportable;
}

/**
 * What the sensors of a quantity can read; none where one of them does not say, for that one may read
 * anything.
 */
function reachesOf({ installation }: EngineSubject, watches: string): SensorReach[] {
  const sensors = sensorsMeasuring(installation.configuration, watches);
  const reaches = sensors.flatMap(([name, sensor]) => {
    const reach = reportable(installation, sensor);
    return reach ? [{ name, sensor, reach }] : [];
  });
  return reaches.length < sensors.length ? [] : reaches;
}

/** A threshold that a sensor has to read, and what it is called. */
interface Watched {
  readonly watches: string;
  readonly threshold: Threshold;
  readonly words: string;
}

function watchedThresholds(configuration: EngineConfiguration): Watched[] {
  const ofLimits = limitsOf(configuration).flatMap((limit) =>
    thresholdsOf(limit).map(({ level, threshold }) => ({
      watches: limit.watches,
      threshold,
      words: `The ${level} of ${limit.name}`,
    })),
  );
  const threshold = configuration.closed_loop?.exhaust_gas_temperature?.limit;
  if (!threshold) return ofLimits;
  const words = 'The limit of the exhaust temperature loop';
  return [...ofLimits, { watches: 'exhaust_gas_temperature', threshold, words }];
}

/** The first value of a threshold that none of the sensors can read: what one of several sees is seen. */
function unreadable({ threshold, words }: Watched, reaches: readonly SensorReach[]): Found | undefined {
  const [first] = reaches;
  if (!first) return undefined;
  const isMissed = (canonical: number) =>
    reaches.every(({ reach }) => {
      const value = inReference(reach.reference, threshold, canonical);
      return value !== undefined && (value < reach.low || value > reach.high);
    });
  const missed = writtenValues(threshold).find(({ canonical }) => isMissed(canonical));
  if (!missed) return undefined;
  const { low, high, reference, by } = first.reach;
  const isAbove = inReference(first.reach.reference, threshold, missed.canonical)! > high;
  const end = isAbove ? high : low;
  const text =
    reference === referenceOf(threshold) ? inUnitOf(threshold, end) : formatQuantity(end, 'kPa abs');
  return {
    at: missed.node,
    message: `${words} at ${inUnitOf(threshold, missed.canonical)} is never seen: ${first.name} reads ${isAbove ? 'up' : 'down'} to ${text} ${by}.`,
    related: [{ at: first.sensor.measures!.node, message: 'The sensor.' }],
  };
}

export const limitOutsideSensorRange: Check = engineCheck({
  id: 'limit-outside-sensor-range',
  severity: 'error',
  title: 'Limit that its sensor cannot read',
  page: {
    catches:
      'A caution, a warning or the limit of the exhaust temperature loop that lies outside what the sensor of the quantity can report: its scaling at the fault bounds (at the ends of the input where it has none), its `minimum`, `maximum` or `range`, or the range of the controller’s input.',
    why: 'The value never gets there in the controller’s eyes. Where fault bounds come first, a failing engine is taken for a failing sensor.',
    example:
      'sensors:\n  egt_1: { measures: "exhaust_gas_temperature[1]", kind: thermocouple, type: K, maximum: 900 °C }\nprotection:\n  hot: { watches: "exhaust_gas_temperature[1]", above: { warning: 950 °C } }',
    remedy: 'Choose a sensor that reaches beyond the limit, or move the limit inside what it reads.',
    basis: 'The meaning of the keys: the ends are those of the sensor’s own scaling.',
  },
  *find(subject) {
    const { engines } = subject.installation;
    const all = engines.flatMap(({ configuration }) => watchedThresholds(configuration));
    // Map sets share most limits, and limits share sensors.
    const distinct = new Map(all.map((watched) => [watched.threshold.node, watched]));
    const reaches = new Map<string, SensorReach[]>();
    for (const watched of distinct.values()) {
      const { watches } = watched;
      if (!reaches.has(watches)) reaches.set(watches, reachesOf(subject, watches));
      const found = unreadable(watched, reaches.get(watches)!);
      if (found) yield found;
    }
  },
});
