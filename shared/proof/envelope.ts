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

/** What a state of the engine is made of, by the keys of the format. */
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

/** The states that an engine may meet: a range for each variable, in canonical units. */
export interface Envelope {
  /** The manifold pressure reaches from its lowest value as high as boost or ambient pressure bring it. */
  readonly ranges: Readonly<Record<Exclude<Variable, 'manifold_pressure'>, Interval>>;
  readonly lowestPressure: number;
  /** How far (Pa) boost may exceed its target. */
  readonly overshoot: Operand;
}

const FULL_RANGE: Interval = { low: 0, high: 1 };
const NO_OVERSHOOT: Operand = { canonical: 0, how: 'no overshoot stated' };

/**
 * The envelope of an engine: what its section states, else what follows from its speeds, its supply and the operating points
 * of the file. Undefined where no speed or no lowest manifold pressure is known.
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

/** A range that is written the wrong way round is a finding of its own; it is bounded all the same. */
const ordered = (a: number, b: number): Interval => ({ low: Math.min(a, b), high: Math.max(a, b) });
