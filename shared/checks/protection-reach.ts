import type { QuantityValue } from '../configuration/values.ts';
import { absoluteAtSeaLevel } from '../derived/boost-target.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import {
  isBeyond,
  type Limit,
  limitsOf,
  referenceOf,
  type Threshold,
  thresholdAtPoint,
  thresholdsOf,
  watchedValue,
} from '../derived/protection.ts';
import { type Reportable, reportable, sensorsMeasuring } from '../derived/sensor-reading.ts';
import { measuredQuantity } from '../quantity/index.ts';
import type { Node } from '../source/tree.ts';
import { type Check, type EngineSubject, engineCheck, type Found } from './check.ts';
import { inUnitOf, quantityLabel } from './protection-words.ts';
import { formatQuantity, percent } from './words.ts';

/** A point that stands on the dangerous side of a threshold; the warning's, where it is past both. */
function pointBeyond(point: OperatingPoint, limit: Limit): Found | undefined {
  for (const { level, threshold } of thresholdsOf(limit).reverse()) {
    const value = watchedValue(point, limit.watches, threshold);
    const bound = thresholdAtPoint(point, threshold);
    if (!value || bound === undefined || !isBeyond(limit.direction, value.canonical, bound)) continue;
    const written = 'node' in value ? value.node : undefined;
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
    for (const point of derivation.points) {
      for (const limit of limitsOf(point.configuration)) {
        const found = pointBeyond(point, limit);
        if (found) yield found;
      }
    }
  },
});

/** A value of a threshold with the place where it is written. */
function writtenValues(threshold: Threshold): { canonical: number; node: Node }[] {
  if (threshold.type === 'quantity') return [threshold];
  const { cells, rows } = threshold;
  return cells ? rows.flat().map((node, i) => ({ canonical: cells[i]!, node })) : [];
}

/** A value and a sensor's range can be compared where they are measured from the same, or from vacuum and ambient. */
function inReferenceOf(reach: Reportable, threshold: Threshold, canonical: number): number | undefined {
  const from = referenceOf(threshold);
  if (from === reach.reference) return canonical;
  return from === 'gauge' && reach.reference === 'absolute'
    ? absoluteAtSeaLevel({ canonical, reference: from })
    : undefined;
}

/** The best that the sensors of a quantity can read: what one of several sees is seen. */
function* unreadable(
  subject: EngineSubject,
  watches: string,
  threshold: Threshold,
  words: string,
): Generator<Found> {
  const { installation } = subject;
  const sensors = sensorsMeasuring(installation.configuration, watches);
  const reaches = sensors.flatMap(([name, sensor]) => {
    const reach = reportable(installation, sensor);
    return reach ? [{ name, sensor, reach }] : [];
  });
  // A sensor that says nothing of its range may read anything.
  if (reaches.length === 0 || reaches.length < sensors.length) return;
  for (const { canonical, node } of writtenValues(threshold)) {
    const missed = reaches.filter(({ reach }) => {
      const value = inReferenceOf(reach, threshold, canonical);
      return value !== undefined && (value < reach.low || value > reach.high);
    });
    const [first] = missed;
    if (!first || missed.length < reaches.length) continue;
    const { low, high, reference, by } = first.reach;
    const end = inReferenceOf(first.reach, threshold, canonical)! > high ? high : low;
    const text =
      reference === referenceOf(threshold) ? inUnitOf(threshold, end) : formatQuantity(end, 'kPa abs');
    yield {
      at: node,
      message: `${words} at ${inUnitOf(threshold, canonical)} is never seen: ${first.name} reads ${end === high ? 'up' : 'down'} to ${text} ${by}.`,
      related: [{ at: first.sensor.measures!.node, message: 'The sensor.' }],
    };
    return;
  }
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
    for (const { configuration } of subject.installation.engines) {
      for (const limit of limitsOf(configuration)) {
        for (const { level, threshold } of thresholdsOf(limit)) {
          yield* unreadable(subject, limit.watches, threshold, `The ${level} of ${limit.name}`);
        }
      }
      const limit = configuration.closed_loop?.exhaust_gas_temperature?.limit;
      if (limit)
        yield* unreadable(
          subject,
          'exhaust_gas_temperature',
          limit,
          'The limit of the exhaust temperature loop',
        );
    }
  },
});

/** The limits on engine speed from above, and what they begin with. */
function overspeedLimits({ installation: { engines } }: EngineSubject) {
  return engines.flatMap(({ configuration }) => {
    const maximum = configuration.engine?.maximum_speed;
    const limits = limitsOf(configuration).filter(
      ({ watches, direction }) =>
        direction === 'above' && measuredQuantity(watches)?.entry.name === 'engine_speed',
    );
    return maximum ? [{ maximum, limits }] : [];
  });
}

const warningSpeed = ({ warning }: Limit): QuantityValue | undefined =>
  warning?.type === 'quantity' ? warning : undefined;

export const overspeedBelowMaximum: Check = engineCheck({
  id: 'overspeed-below-maximum',
  severity: 'warning',
  title: 'Overspeed warning inside the speeds that are allowed',
  page: {
    catches:
      'An overspeed warning below `engine.maximum_speed`. Where the protection has no overspeed limit at all, that is said as information.',
    why: 'Up to its maximum speed the engine may run. A warning below, the more so one that cuts, takes power from a pilot who does nothing wrong; a cut at rotation is an emergency made by a number.',
    example:
      'engine: { maximum_speed: 5800 rpm }\nprotection:\n  overspeed: { watches: engine_speed, above: { warning: 5500 rpm }, action: [fuel-cut] }',
    remedy:
      'Warn at or a little above the maximum speed and give the caution below it, or lower the maximum speed if the engine must not turn so fast.',
    basis: 'The meaning of the keys; that an engine has an overspeed limit is common practice, no source.',
  },
  *find(subject) {
    for (const { maximum, limits } of overspeedLimits(subject)) {
      const section = subject.installation.configuration.protection;
      if (limits.length === 0 && section) {
        yield {
          at: maximum.node,
          severity: 'information',
          message: `No limit watches that the engine stays below its maximum speed of ${maximum.node.text}.`,
        };
      }
      for (const limit of limits) {
        const warning = warningSpeed(limit);
        if (!warning || warning.canonical >= maximum.canonical) continue;
        yield {
          at: warning.node,
          message: `The warning of ${limit.name} at ${warning.node.text} comes below the maximum speed of ${maximum.node.text}.`,
          related: [{ at: maximum.node, message: 'Up to here the engine may run.' }],
          fixes: [
            {
              title: `Warn at the maximum speed, ${maximum.node.text}`,
              safety: 'choice',
              edits: [{ span: warning.node, text: maximum.node.text }],
            },
          ],
        };
      }
    }
  },
});

export const overspeedLate: Check = engineCheck({
  id: 'overspeed-late',
  severity: 'warning',
  title: 'Overspeed warning far above the maximum speed',
  page: {
    catches: 'An overspeed warning above `engine.maximum_speed` by more than the margin.',
    why: 'The stress in rods and propeller goes with the square of the speed. A warning that comes well after the maximum comes when the damage is done.',
    example:
      'engine: { maximum_speed: 5800 rpm }\nprotection:\n  overspeed: { watches: engine_speed, above: { warning: 6500 rpm } }',
    remedy: 'Bring the warning down to the maximum speed and a little.',
    basis: 'Inertia forces grow with the square of the speed; the margin is common practice, no source.',
  },
  settings: {
    margin: { kind: 'ratio', value: '5 %', meaning: 'How far above the maximum speed a warning may come.' },
  },
  *find(subject, { margin }) {
    for (const { maximum, limits } of overspeedLimits(subject)) {
      for (const limit of limits) {
        const warning = warningSpeed(limit);
        const over = warning ? warning.canonical / maximum.canonical - 1 : 0;
        if (!warning || over <= margin) continue;
        yield {
          at: warning.node,
          message: `The warning of ${limit.name} at ${warning.node.text} comes ${percent(over, 2)} above the maximum speed of ${maximum.node.text}; ${percent(margin)} is usual.`,
          related: [{ at: maximum.node, message: 'Up to here the engine may run.' }],
        };
      }
    }
  },
});
