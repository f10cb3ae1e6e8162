import type { EngineConfiguration, Sensor } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import { sensorsOfFirst } from '../configuration/known-quantities.ts';
import { nodeOf } from '../configuration/values.ts';
import { memo } from '../memo.ts';
import * as physics from '../physics/loops.ts';
import { formatNumber, kindAccepts, measuredQuantity } from '../quantity/index.ts';
import type { Node } from '../source/tree.ts';
import { chargeTemperature, manifoldPressure } from './charge-air.ts';
import { cycleTime } from './cylinder.ts';
import type { Derivation, FileValue } from './derivation.ts';
import {
  deadTime,
  fuelDensity,
  fuelMassPerCycle,
  injections,
  injectorDuty,
  injectorFlow,
  injectorPulseWidth,
  injectorsPerCylinder,
  targetLambda,
} from './fuel.ts';
import { ignitionAdvance } from './ignition.ts';
import type { Conditions, OperatingPoint, PointValue } from './operating-point.ts';
import type { Inputs, Wired } from './sensor-input.ts';
import { inputSpan, type SensorValue, sensorsByQuantity, sensorValueAt } from './sensor-reading.ts';
import { apply, type DerivedValue, derivedValue, placedIn, type Result } from './value.ts';

/**
 * The value that the controller uses with a failed sensor: its substitute, if the fault is detected; the value near one
 * end of the input, if a broken or shorted wire is not detected because there are no fault bounds; or the value at a
 * fault bound, the last one accepted, if the sensor has bounds but no substitute.
 */
export type FaultCase = 'substitute' | 'low' | 'high';

type Sensors = NonNullable<EngineConfiguration['sensors']>;

/** One way for one sensor to fail. */
export interface SensorFault {
  readonly name: string;
  readonly sensor: Sensor;
  readonly case: FaultCase;
  /** Whether the fault bounds let the controller detect it. */
  readonly noticed: boolean;
  /** The value that the controller uses. */
  readonly value: SensorValue;
  readonly node: Node;
}

/** The quantities from which the controller computes fuel and spark, and the condition of an operating point for each. */
const steering: Readonly<Record<string, keyof Conditions>> = {
  manifold_pressure: 'manifoldPressure',
  charge_temperature: 'chargeTemperature',
  intake_air_temperature: 'chargeTemperature',
  coolant_temperature: 'coolantTemperature',
  throttle_position: 'throttle',
  battery_voltage: 'batteryVoltage',
  fuel_pressure: 'railPressure',
};

/**
 * The value at a point of a quantity from which the controller computes fuel and spark, in its canonical unit; undefined
 * for any other quantity.
 */
export function steeringValue(point: OperatingPoint, quantity: string): number | undefined {
  const condition = Object.hasOwn(steering, quantity) ? steering[quantity]! : undefined;
  if (condition === 'manifoldPressure') return point.number(manifoldPressure);
  if (condition === 'chargeTemperature') return point.number(chargeTemperature);
  const stated = condition && point.conditions[condition];
  return typeof stated === 'object' ? stated.canonical : undefined;
}

/**
 * A short or a break pulls an input nearly, never wholly, to the end of its span (common practice, no
 * source).
 */
const NEAR_END = 0.01;

/**
 * The names of the sensors on each of which fuel and spark depend. A quantity with a second sensor is not lost with one of
 * them. Intake air temperature replaces charge temperature only if no sensor measures the latter, and fuel pressure counts
 * only if a loop compensates for it.
 */
export function steeringSensors({ configuration }: Pick<Installation, 'configuration'>): readonly string[] {
  const { sensors, closed_loop: loops, standby } = configuration;
  if (!sensors) return [];
  const measuring = sensorsByQuantity(sensorsOfFirst(sensors, standby));
  // Each of these quantities has one sensor, so they are in the order of the file.
  return [...measuring].flatMap(([quantity, [only, ...others]]) => {
    if (!(quantity in steering) || !only || others.length > 0) return [];
    const passedOver = quantity === 'intake_air_temperature' && measuring.has('charge_temperature');
    const uncompensated = quantity === 'fuel_pressure' && !loops?.fuel_pressure?.compensate?.flag;
    return passedOver || uncompensated ? [] : [only[0]];
  });
}

/** The single faults of the sensors from which fuel and spark are computed. */
export const sensorFaults = (installation: Installation): readonly SensorFault[] =>
  steeringSensors(installation).flatMap((name) => faultsOf(name, installation));

/** The ways in which one sensor can fail. */
export const faultsOf = (name: string, { configuration: { sensors }, controller }: Wired) =>
  sensors ? faultsIn(sensors, controller, name) : [];

const faultsIn = memo(
  (sensors: Sensors, controller: Inputs['controller'], name: string): readonly SensorFault[] => {
    const installation: Wired = { configuration: { sensors }, controller };
    const sensor = sensors[name]!;
    const { fault_outside: bounds, substitute } = sensor;
    const fault = { name, sensor, noticed: bounds !== undefined };
    if (bounds && substitute) {
      // A substitute with an ambiguous unit or reference cannot be used.
      const { unit, reference } = substitute.quantity;
      const kind = measuredQuantity(sensor.measures?.text ?? '')?.entry.kind ?? 'any';
      if (!kindAccepts(kind, unit, reference)) return [];
      const value: SensorValue = { ...substitute, ...(reference && { reference }) };
      return [{ ...fault, case: 'substitute', value, node: substitute.node }];
    }
    const [low, high] = bounds
      ? [bounds.low.canonical, bounds.high.canonical]
      : nearEnds(inputSpan(installation, sensor));
    return (['low', 'high'] as const).flatMap((end) => {
      const volts = end === 'low' ? low : high;
      const value = volts === undefined ? undefined : sensorValueAt(installation, sensor, volts);
      if (!value) return [];
      const how = `${name} at ${formatNumber(volts!)} V`;
      return [{ ...fault, case: end, value: { ...value, how }, node: bounds?.node ?? nodeOf(sensor) }];
    });
  },
);

function nearEnds(span: readonly [number, number] | undefined): [low?: number, high?: number] {
  if (!span) return [];
  const margin = (span[1] - span[0]) * NEAR_END;
  return [span[0] + margin, span[1] - margin];
}

/**
 * An operating point with one sensor failed. `actual` is the real state of the engine, `assumed` the one for which the
 * controller computes fuel and spark. A wrong throttle reading changes the boost target, and so both.
 */
export interface FaultedPoint {
  readonly fault: SensorFault;
  readonly actual: OperatingPoint;
  readonly assumed: OperatingPoint;
}

/** The point with the fault. */
export function faultedPoint(point: OperatingPoint, fault: SensorFault): FaultedPoint {
  const quantity = measuredQuantity(fault.sensor.measures!.text)!.entry.name;
  const conditions = { ...point.conditions, [steering[quantity]!]: fault.value };
  // The measured charge temperature does not depend on the pressure that the controller assumes.
  const charge = point.get(chargeTemperature);
  if (quantity === 'manifold_pressure' && charge) conditions.chargeTemperature = charge;
  const assumed = point.inState(conditions);
  return { fault, actual: quantity === 'throttle_position' ? assumed : point, assumed };
}

/**
 * The mixture that results from the pulse of the assumed state in the actual one, without correction by the loops.
 */
export function faultedLambda({
  actual,
  assumed,
}: Pick<FaultedPoint, 'actual' | 'assumed'>): Result | undefined {
  const { configuration } = actual;
  const injected = apply(physics.injectedFuelMass, {
    pulseWidth: assumed.get(injectorPulseWidth),
    cycleTime: actual.get(cycleTime),
    deadTime: deadTime(actual),
    flow: actual.get(injectorFlow),
    fuelDensity: fuelDensity(configuration),
    injectorsPerCylinder: injectorsPerCylinder(configuration),
    injections: injections(configuration),
  });
  return apply(physics.lambdaOfInjectedFuel, {
    lambda: actual.get(targetLambda),
    fuelMass: actual.get(fuelMassPerCycle),
    injected,
  });
}

/** The values shown for a fault: the mixture, and what the controller computes for the assumed state. */
const shown: readonly { value: PointValue; of(point: FaultedPoint): Result | undefined }[] = [
  { value: { ...targetLambda, id: 'lambda', label: 'Lambda' }, of: faultedLambda },
  ...[manifoldPressure, injectorDuty, ignitionAdvance].map((value) => ({
    value,
    of: ({ assumed }: FaultedPoint) => assumed.get(value)?.result,
  })),
];

/** `oil_pressure at the low end of its input` */
export const faultWords = (fault: SensorFault): string => `${fault.name} ${endWords[fault.case]}`;

const endWords = {
  substitute: 'on its substitute value',
  low: 'at the low end of its input range',
  high: 'at the high end of its input range',
} as const;

/** The values that the fault changes. */
function faultedValues(point: OperatingPoint, fault: SensorFault): DerivedValue[] {
  const faulted = faultedPoint(point, fault);
  return shown.flatMap(({ value: { id, label, derive }, of }) => {
    const result = of(faulted);
    if (!result) return [];
    const sound = derive(point)?.canonical ?? Number.NaN;
    if (Math.abs(result.canonical - sound) < 1e-9 * Math.abs(sound)) return [];
    const naming = {
      id: `${id}_with_${fault.name}_${fault.case}`,
      label: `${label} with ${faultWords(fault)}`,
    };
    return [derivedValue(naming, placedIn(point.configuration, result), point.node)];
  });
}

/**
 * Ids are `lambda_with_SENSOR_substitute`, `injector_duty_with_SENSOR_low`, …, with the name of the sensor from the
 * file.
 */
export const sensorFaultValues: FileValue = {
  id: 'sensor_faults',
  label: 'Values with one sensor failed',
  derive: (derivation) => derivation.points.flatMap((point) => faultValuesAt(derivation, point)),
  // There are many values for each point, and a reader needs those of one point.
  ofNode: (derivation, node) =>
    derivation.points
      .filter((point) => point.node === node)
      .flatMap((point) => faultValuesAt(derivation, point)),
};

function faultValuesAt({ installation }: Derivation, point: OperatingPoint): DerivedValue[] {
  return sensorFaults(installation).flatMap((fault) => faultedValues(point, fault));
}
