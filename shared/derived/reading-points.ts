import type { Sensor } from '../../generated/configuration.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { dividerResistance } from '../physics/divider.ts';
import { toUnit } from '../quantity/index.ts';
import { readingUnit } from './sensor-curve.ts';
import type { Wired } from './sensor-input.ts';
import { dividerOf, inputSpan, sensorValueAt } from './sensor-reading.ts';

/** What to measure at a sensor when its quantity has a value. */
export interface ReadingPoint {
  /** In the unit of the reading. */
  readonly reading: number;
  /** V at the input of the controller. */
  readonly volts: number;
  /** ohm of the unplugged sensor; undefined for a sensor that is no resistor. */
  readonly resistance: number | undefined;
}

/** At most about so many points; a step is 1, 2 or 5 times a power of ten. */
const POINTS = 14;
const HALVINGS = 50;

/** Round readings between the fault bounds of a sensor, with what to measure at each. */
export function readingPoints(
  wired: Wired,
  sensor: Sensor,
): { unit: string; points: ReadingPoint[] } | undefined {
  const unit = readingUnit(sensor);
  const span = inputSpan(wired, sensor);
  if (unit === undefined || !span) return undefined;
  const { fault_outside: bounds } = sensor;
  const low = Math.max(span[0], bounds?.low.canonical ?? -Infinity);
  const high = Math.min(span[1], bounds?.high.canonical ?? Infinity);
  const readingAt = (volts: number): number | undefined => {
    const canonical = sensorValueAt(wired, sensor, volts)?.canonical;
    return canonical === undefined ? undefined : unit === '' ? canonical : toUnit(canonical, unit);
  };
  const [first, last] = [readingAt(low), readingAt(high)];
  if (first === undefined || last === undefined || first === last) return undefined;
  const divider = dividerOf(wired, sensor);
  const shown = (end: QuantityValue | undefined, otherwise: number) =>
    end ? (unit === '' ? end.canonical : toUnit(end.canonical, unit)) : otherwise;
  const least = Math.max(Math.min(first, last), shown(sensor.minimum, -Infinity));
  const most = Math.min(Math.max(first, last), shown(sensor.maximum, Infinity));
  if (!(most > least)) return undefined;
  const points = roundNumbers(least, most).flatMap((reading) => {
    const volts = voltsFor(reading, [low, high], readingAt, last > first);
    if (volts === undefined) return [];
    const isResistor = sensor.scaling === undefined && divider !== undefined;
    const resistance = isResistor ? dividerResistance({ voltage: volts, ...divider }) : undefined;
    return [{ reading, volts, resistance }];
  });
  return { unit, points };
}

function roundNumbers(low: number, high: number): number[] {
  const least = (high - low) / POINTS;
  const power = 10 ** Math.floor(Math.log10(least));
  const step = [1, 2, 5, 10].map((factor) => factor * power).find((size) => size >= least)!;
  const from = Math.ceil(low / step);
  return Array.from({ length: Math.floor(high / step) - from + 1 }, (_, i) => (from + i) * step);
}

/** The voltage at which a monotonic sensor reads a number, by bisection. */
function voltsFor(
  reading: number,
  [low, high]: readonly [number, number],
  readingAt: (volts: number) => number | undefined,
  rises: boolean,
): number | undefined {
  let [from, to] = [low, high];
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (from + to) / 2;
    const at = readingAt(middle);
    if (at === undefined) return undefined;
    if (at < reading === rises) from = middle;
    else to = middle;
  }
  return (from + to) / 2;
}
