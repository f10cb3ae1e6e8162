import type { Analysis } from '../analysis.ts';
import { sameNumber } from '../configuration/same-value.ts';
import { nodeOf } from '../configuration/values.ts';
import { ambientPressure } from '../derived/atmosphere.ts';
import {
  type FaultedPoint,
  faultedLambda,
  faultedPoint,
  steeringSensors,
  steeringValue,
} from '../derived/faults.ts';
import { targetLambda } from '../derived/fuel.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import type { OperatingPoint, PointValue } from '../derived/operating-point.ts';
import { inputSpan, type SensorValue, type Span, sensorValueAt } from '../derived/sensor-reading.ts';
import { derivedValue, placedIn, type Result } from '../derived/value.ts';
import { formatQuantity, formatUnit, measuredQuantity } from '../quantity/index.ts';
import type { PathMap } from './renames.ts';
import { stepBetween } from './step.ts';
import type { ValueConsequence } from './values.ts';

type Installation = NonNullable<Analysis['installation']>;
type Sensor = NonNullable<NonNullable<Installation['configuration']['sensors']>[string]>;

/**
 * What the new curve of a sensor on which fuel and spark depend does to them if the sensor itself is still the old one: at each operating point
 * the controller then reads another value for the same input, and computes with it.
 */
export function readingConsequences(was: Analysis, is: Analysis, mapped: PathMap): ValueConsequence[] {
  const [before, after] = [was.installation, is.installation];
  if (!before || !after || !is.derivation) return [];
  const old = new Map(
    Object.entries(before.configuration.sensors ?? {}).map(([name, one]) => [mapped(`sensors.${name}`), one]),
  );
  return steeringSensors(after).flatMap((name) => {
    const sensor = after.configuration.sensors?.[name];
    const sensorWas = old.get(`sensors.${name}`);
    const span = sensorWas && inputSpan(before, sensorWas);
    if (!span || !sensor) return [];
    const readOld = (volts: number) => sensorValueAt(before, sensorWas, volts);
    const readNew = (volts: number) => sensorValueAt(after, sensor, volts);
    if (!areDifferent(readOld, readNew, span)) return [];
    return is.derivation!.points.flatMap((point) => {
      const volts = inputFor(trueReading(point, sensor, readOld(span[0])), readOld, span);
      const value = volts === undefined ? undefined : readNew(volts);
      return value ? atPoint({ name, sensor, value }, point) : [];
    });
  });
}

type Curve = (volts: number) => SensorValue | undefined;

/** Whether two curves differ anywhere on a grid of the input. */
function areDifferent(a: Curve, b: Curve, [low, high]: Span): boolean {
  return Array.from({ length: STEPS + 1 }, (_, i) => low + ((high - low) * i) / STEPS).some((volts) => {
    const [x, y] = [a(volts)?.canonical, b(volts)?.canonical];
    return x !== undefined && y !== undefined && !sameNumber(x, y);
  });
}

const STEPS = 16;

/** What a working sensor reads at a point, in the reference of its scaling; undefined for a quantity of no such use. */
function trueReading(
  point: OperatingPoint,
  sensor: Sensor,
  like: SensorValue | undefined,
): number | undefined {
  const quantity = measuredQuantity(sensor.measures?.text ?? '')?.entry.name;
  const value = quantity === undefined ? undefined : steeringValue(point, quantity);
  if (value === undefined || like === undefined) return undefined;
  return like.reference === 'gauge' ? value - (point.number(ambientPressure) ?? Number.NaN) : value;
}

/** The input (V) at which a monotonic curve reads a value, by bisection; undefined if it is outside the span. */
function inputFor(value: number | undefined, read: Curve, [low, high]: Span): number | undefined {
  const [first, last] = [read(low)?.canonical, read(high)?.canonical];
  if (value === undefined || first === undefined || last === undefined) return undefined;
  if (!((first <= value && value <= last) || (last <= value && value <= first))) return undefined;
  let [below, above] = first <= last ? [low, high] : [high, low];
  for (let i = 0; i < 60; i++) {
    const middle = (below + above) / 2;
    if ((read(middle)?.canonical ?? Number.NaN) <= value) below = middle;
    else above = middle;
  }
  return (below + above) / 2;
}

function atPoint(
  { name, sensor, value }: { name: string; sensor: Sensor; value: SensorValue },
  point: OperatingPoint,
): ValueConsequence[] {
  const faulted = faultedPoint(point, {
    ...{ name, sensor, value, case: 'substitute', noticed: false },
    node: nodeOf(sensor),
  });
  const written = sensor.scaling?.points[0]?.to;
  const unit = written?.unit
    ? formatUnit(written.unit, written.reference)
    : (measuredQuantity(sensor.measures!.text)?.entry.unit ?? '');
  const reads = `${point.name}, reads ${formatQuantity(value.canonical, unit, 3)}`;
  return SHOWN.flatMap(({ of, resultOf }): ValueConsequence[] => {
    const [sound, result] = [point.get(of), resultOf(faulted)];
    if (!sound || !result || sameNumber(sound.canonical, result.canonical)) return [];
    const naming = { id: `${of.id}_with_old_${name}`, label: `${of.label} if \`${name}\` was not replaced` };
    const changed = derivedValue(naming, placedIn(point.configuration, result), point.node);
    return [
      {
        ...{ type: 'value', ...naming, point: reads, at: changed.at, was: sound, is: changed },
        step: stepBetween(sound.canonical, changed.canonical, changed.show),
        ...{ moved: 1, limit: undefined, isConditional: true },
      },
    ];
  });
}

const SHOWN: readonly { of: PointValue; resultOf(point: FaultedPoint): Result | undefined }[] = [
  { of: targetLambda, resultOf: faultedLambda },
  { of: ignitionAdvance, resultOf: ({ assumed }) => assumed.get(ignitionAdvance)?.result },
];
