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
import { groupedBy } from '../grouped-by.ts';
import { type Check, type EngineSubject, engineCheck, type Found } from './check.ts';
import { checkEach } from './each.ts';
import { placesBehind } from './follows.ts';
import { quote } from './form-words.ts';
import { inUnitOf, quantityLabel } from './protection-words.ts';
import { formatQuantity } from './words.ts';

/** A point beyond a threshold of a limit: the warning, if it is beyond both. */
function pointBeyond(point: OperatingPoint, limit: Limit): Found | undefined {
  for (const { level, threshold } of thresholdsOf(limit).reverse()) {
    const value = watchedValue(point, limit.watches, threshold);
    const bound = thresholdAtPoint(point, threshold);
    if (!value || bound === undefined || !isBeyond(limit.direction, value.canonical, bound)) continue;
    const written = placeOfOperand(value);
    return {
      at: written?.parent === point.node ? written : point.node,
      severity: level === 'warning' ? 'error' : 'warning',
      message: `${quantityLabel(limit.watches)} at ${quote(point.name)} is ${inUnitOf(threshold, value.canonical)}, ${limit.direction} the ${level} of ${quote(limit.name)} at ${inUnitOf(threshold, bound)}.`,
      related: [{ at: threshold.node, message: `The ${level} of ${quote(limit.name)}.` }],
      follows: placesBehind(value),
      cause: (limit.caution ?? threshold).node,
    };
  }
  return undefined;
}

export const limitInsideOperatingPoint: Check = engineCheck({
  id: 'limit-inside-operating-point',
  severity: 'warning',
  title: 'Operating point beyond a limit',
  onStandby: true,
  page: {
    catches:
      'An operating point at which a watched quantity, stated or derived, is beyond the caution of a limit. Beyond the warning it is an error. All points beyond one limit are reported as one finding.',
    why: 'Either the light is on during the whole climb and the pilot learns to ignore it, or the limit is right and the engine must not run at that point.',
    example:
      'protection:\n  hot_charge: { watches: charge_temperature, above: { caution: 55 °C, warning: 65 °C } }   # at take_off it is 58 °C',
    remedy: 'Move the limit, or change the point so that it is inside the limit.',
    basis: 'The meaning of the keys. The values are those derived at the point.',
  },
  *find({ derivation }) {
    yield* pointsBeyond(derivation.points, undefined);
  },
});

/** The limits are those of the map set of the point. */
const pointsBeyond = checkEach(function* (point: OperatingPoint): Iterable<Found> {
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
 * The ranges of the sensors of a quantity, grouped by what they measure: the exhaust of each cylinder is one group. A group
 * is empty if one of its sensors states no range, as it may read anything.
 */
function reachesOf({ installation }: EngineSubject, watches: string): SensorReach[][] {
  const sensors = sensorsMeasuring(installation.configuration, watches);
  const groups = groupedBy(sensors, ([, { measures }]) => measures?.text);
  return [...groups.values()].map((alike) => {
    const reaches = alike.flatMap(([name, sensor]) => {
      const reach = reportable(installation, sensor);
      return reach ? [{ name, sensor, reach }] : [];
    });
    return reaches.length < alike.length ? [] : reaches;
  });
}

/** A threshold that a sensor must be able to read, and its name. */
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
      words: `The ${level} of ${quote(limit.name)}`,
    })),
  );
  const threshold = configuration.closed_loop?.exhaust_gas_temperature?.limit;
  if (!threshold) return ofLimits;
  const words = 'The limit of the exhaust temperature loop';
  return [...ofLimits, { watches: 'exhaust_gas_temperature', threshold, words }];
}

/** The first value of a threshold that none of the sensors of a group can read. One of several is enough. */
function missedBy({ threshold }: Watched, group: readonly SensorReach[]) {
  const isMissed = (canonical: number) =>
    group.length > 0 &&
    group.every(({ reach }) => {
      const value = inReference(reach.reference, threshold, canonical);
      return value !== undefined && (value < reach.low || value > reach.high);
    });
  return writtenValues(threshold).find(({ canonical }) => isMissed(canonical));
}

/** What a threshold is beyond: every group of sensors, or single ones of several. */
function unreadable(watched: Watched, groups: readonly SensorReach[][]): Found[] {
  const found = groups.flatMap((group) => {
    const missed = missedBy(watched, group);
    return missed ? [{ group, missed }] : [];
  });
  const [first] = found;
  if (!first) return [];
  return found.length === groups.length
    ? [beyondAll(watched, first.group, first.missed)]
    : found.map(({ group, missed }) => beyondOne(watched, group[0]!, missed));
}

type Missed = ReturnType<typeof writtenValues>[number];

/** A sensor of one cylinder that does not read as far as those of the others. */
function beyondOne(
  { threshold, words }: Watched,
  { name, sensor, reach }: SensorReach,
  missed: Missed,
): Found {
  const isAbove = inReference(reach.reference, threshold, missed.canonical)! > reach.high;
  const end = inUnitOf(threshold, isAbove ? reach.high : reach.low);
  return {
    at: (sensor.maximum ?? sensor.range ?? sensor.measures!).node,
    message: `${quote(name)} reads only ${isAbove ? 'up' : 'down'} to ${end} ${reach.by[isAbove ? 'high' : 'low']}, but ${words[0]!.toLowerCase()}${words.slice(1)} is ${inUnitOf(threshold, missed.canonical)}; the other sensors reach it.`,
    related: [{ at: missed.node, message: `${words}.` }],
    cause: `${name} reads no ${isAbove ? 'more' : 'less'}`,
  };
}

function beyondAll({ threshold, words }: Watched, group: readonly SensorReach[], missed: Missed): Found {
  const first = group[0]!;
  const { low, high, reference, by } = first.reach;
  const missedThere = inReference(first.reach.reference, threshold, missed.canonical)!;
  const isAbove = missedThere > high;
  const end = isAbove ? high : low;
  const text =
    reference === referenceOf(threshold) ? inUnitOf(threshold, end) : formatQuantity(end, 'kPa abs', 4);
  const there = reference === referenceOf(threshold) ? '' : ` (${formatQuantity(missedThere, 'kPa abs', 4)})`;
  return {
    at: missed.node,
    message: `${words}, ${inUnitOf(threshold, missed.canonical)}${there}, is never reached: ${quote(first.name)} reads only ${isAbove ? 'up' : 'down'} to ${text} ${by[isAbove ? 'high' : 'low']}.`,
    related: [{ at: first.sensor.measures!.node, message: `The sensor ${quote(first.name)}.` }],
    cause: `${first.name} reads no ${isAbove ? 'more' : 'less'}`,
  };
}

export const limitOutsideSensorRange: Check = engineCheck({
  id: 'limit-outside-sensor-range',
  severity: 'error',
  title: 'Limit outside sensor range',
  page: {
    catches:
      'A caution, a warning or the limit of the exhaust temperature loop outside what its sensor can report. The range of a sensor ends at its reading at the fault bounds (or at the ends of the input range), at its `minimum`, `maximum` or `range`, or at the range of the input in the controller file. The exhaust sensor of every cylinder must be able to read the limits on exhaust gas temperature. All limits beyond the same end of a sensor’s range are reported as one finding.',
    why: 'The controller never reads a value beyond the limit. If the fault bounds are reached first, the controller takes a failing engine for a failed sensor.',
    example:
      'sensors:\n  egt_1: { measures: "exhaust_gas_temperature[1]", kind: thermocouple, type: K, maximum: 900 °C }\nprotection:\n  hot: { watches: "exhaust_gas_temperature[1]", above: { warning: 950 °C } }',
    remedy: 'Use a sensor with a wider range, or move the limit inside the range of the sensor.',
    basis: 'The meaning of the keys.',
  },
  *find(subject) {
    const { engines } = subject.installation;
    const all = engines.flatMap(({ configuration }) => watchedThresholds(configuration));
    // Map sets share most limits, and limits share sensors.
    const distinct = new Map(all.map((watched) => [watched.threshold.node, watched]));
    const reaches = new Map<string, SensorReach[][]>();
    for (const watched of distinct.values()) {
      const { watches } = watched;
      if (!reaches.has(watches)) reaches.set(watches, reachesOf(subject, watches));
      yield* unreadable(watched, reaches.get(watches)!);
    }
  },
});
