import type { Interval } from '../arithmetic/interval.ts';
import type { Engine } from '../configuration/installation.ts';
import type { RangeValue } from '../configuration/values.ts';
import { absoluteAtSeaLevel } from '../derived/boost-target.ts';
import { absoluteBreakpoints } from '../derived/full-load.ts';
import {
  type Conditions,
  DEFAULT_COOLANT_TEMPERATURE,
  nominalVoltage,
  type OperatingPoint,
} from '../derived/operating-point.ts';
import type { Operand } from '../derived/value.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { memo } from '../memo.ts';

/** The variables that define a state of the engine, as in the schema. */
export const VARIABLES = [
  'speed',
  'throttle',
  'manifold_pressure',
  'pressure_altitude',
  'isa_deviation',
  'coolant_temperature',
  'battery_voltage',
] as const;

export type Variable = (typeof VARIABLES)[number];

/** The states in which an engine may operate: a range for each variable, in canonical units. */
export interface Envelope {
  /** Manifold pressure ranges from its lowest value to the highest that boost or ambient pressure can produce. */
  readonly ranges: Readonly<Record<Exclude<Variable, 'manifold_pressure'>, Interval>>;
  readonly lowestPressure: number;
  /** By how much (Pa) boost may exceed its target. */
  readonly overshoot: Operand;
}

const FULL_RANGE: Interval = { low: 0, high: 1 };
const NO_OVERSHOOT: Operand = { canonical: 0, how: 'no overshoot stated' };

/**
 * The envelope of an engine: as stated in its section, otherwise derived from its speeds, its supply voltage and the
 * operating points of the file. Undefined if the speeds or the lowest manifold pressure are unknown.
 */
export function envelopeOf(
  { configuration }: Engine,
  points: readonly OperatingPoint[],
): Envelope | undefined {
  const { envelope, engine, harness, fuel } = configuration;
  const { idle_speed: idle, maximum_speed: maximum } = engine ?? {};
  const speed = rangeOf(envelope?.speed) ?? (idle && maximum && ordered(idle.canonical, maximum.canonical));
  const rows = absoluteBreakpoints(fuel?.volumetric_efficiency?.y);
  const lowest = envelope?.manifold_pressure
    ? absoluteAtSeaLevel(envelope.manifold_pressure.quantity)
    : rows.length > 0
      ? minimumOf(rows)
      : undefined;
  if (!speed || lowest === undefined) return undefined;
  const overPoints = (of: (conditions: Conditions) => Operand, otherwise: number): Interval => {
    const stated = points.map(({ conditions }) => of(conditions).canonical);
    return stated.length > 0
      ? { low: minimumOf(stated), high: maximumOf(stated) }
      : { low: otherwise, high: otherwise };
  };
  const voltage = overPoints((at) => at.batteryVoltage, nominalVoltage(configuration).canonical);
  const supply = harness?.supply;
  return {
    ranges: {
      speed,
      throttle: rangeOf(envelope?.throttle) ?? FULL_RANGE,
      pressure_altitude: rangeOf(envelope?.pressure_altitude) ?? overPoints((at) => at.pressureAltitude, 0),
      isa_deviation: rangeOf(envelope?.isa_deviation) ?? overPoints((at) => at.isaDeviation, 0),
      coolant_temperature:
        rangeOf(envelope?.coolant_temperature) ??
        overPoints((at) => at.coolantTemperature, DEFAULT_COOLANT_TEMPERATURE),
      battery_voltage:
        rangeOf(envelope?.battery_voltage) ??
        ordered(supply?.minimum?.canonical ?? voltage.low, supply?.maximum?.canonical ?? voltage.high),
    },
    lowestPressure: lowest,
    overshoot: envelope?.overshoot ?? NO_OVERSHOOT,
  };
}

const rangeOf = (range: RangeValue | undefined): Interval | undefined =>
  range && ordered(range.low.canonical, range.high.canonical);

/** Another check reports a range written in reverse; bounds are computed all the same. */
const ordered = (a: number, b: number): Interval => ({ low: Math.min(a, b), high: Math.max(a, b) });

/** The same object for equal envelopes of an engine, so that results cached by it are reused. */
export function sameEnvelope(engine: Engine, { ranges, lowestPressure, overshoot }: Envelope): Envelope {
  const ends = RANGES.flatMap((name) => [ranges[name].low, ranges[name].high]);
  return envelopeWith(engine, overshoot, [...ends, lowestPressure].join(' '));
}

const RANGES = VARIABLES.filter((name) => name !== 'manifold_pressure');

const envelopeWith = memo((_: Engine, overshoot: Operand, numbers: string): Envelope => {
  const ends = numbers.split(' ').map(Number);
  const ranges = RANGES.map((name, i) => [name, { low: ends[2 * i]!, high: ends[2 * i + 1]! }]);
  return { ranges: Object.fromEntries(ranges), lowestPressure: ends.at(-1)!, overshoot };
});
