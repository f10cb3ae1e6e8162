import type { EngineConfiguration, Sensor } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import { memo } from '../memo.ts';
import { dividerVoltage, selfHeatingPower } from '../physics/divider.ts';
import * as physics from '../physics/thermistor.ts';
import { formatQuantity } from '../quantity/index.ts';
import type { Node } from '../source/tree.ts';
import type { FileValue } from './derivation.ts';
import {
  inputStep,
  type OperandRange,
  pullUpOf,
  sensorsOf,
  temperatureIn,
  type Wired,
} from './sensor-input.ts';
import { apply, derivedValue, type Operand, type Result } from './value.ts';

/** A thermistor with a curve that its points determine. */
export interface Thermistor {
  readonly name: string;
  readonly sensor: Sensor;
  readonly curve: physics.ThermistorCurve;
  /** The place of the points. */
  readonly node: Node;
}

/** The thermistors of an installation that have a curve: of two points or more, or of one with its beta. */
export function thermistors({ configuration: { sensors } }: Wired): readonly Thermistor[] {
  return sensors ? thermistorsIn(sensors) : [];
}

/** A curve is fitted once and used for many voltages. */
const thermistorsIn = memo((sensors: NonNullable<EngineConfiguration['sensors']>): readonly Thermistor[] =>
  sensorsOf({ sensors }, 'thermistor').flatMap(([name, sensor]) => {
    const curve = curveOf(sensor);
    return curve ? [{ name, sensor, curve, node: sensor.resistance!.node }] : [];
  }),
);

/** The thermistor of a sensor; undefined if it is not one or its points determine no curve. */
export function thermistorOf(installation: Wired, sensor: Sensor): Thermistor | undefined {
  const { sensors } = installation.configuration;
  return sensors && thermistorBySensor(sensors).get(sensor);
}

const thermistorBySensor = memo(
  (sensors: NonNullable<EngineConfiguration['sensors']>) =>
    new Map(thermistorsIn(sensors).map((thermistor) => [thermistor.sensor, thermistor])),
);

const HUNDRED_KELVIN = 100;

function curveOf({ resistance, beta }: Sensor): physics.ThermistorCurve | undefined {
  const points = (resistance?.points ?? []).map(({ from, to }) => ({
    temperature: from.canonical,
    resistance: to.canonical,
  }));
  const [only] = points;
  if (points.length !== 1 || !beta || !only) return physics.fitThermistor(points);
  // The law of one constant is a straight line in 1/T over ln R: any second point on it gives the same curve.
  const temperature = only.temperature + HUNDRED_KELVIN;
  const second = physics.betaResistance({
    temperature,
    beta: beta.canonical,
    firstResistance: only.resistance,
    firstTemperature: only.temperature,
  });
  return physics.fitThermistor([only, { temperature, resistance: second }]);
}

/** The temperature range of a thermistor: as stated, or else its outermost points, or 0 to 100 °C. */
export function span({ sensor, curve }: Thermistor): OperandRange {
  const points = sensor.resistance?.points ?? [];
  const { node } = sensor.resistance!;
  const [coldest, hottest] = [curve.points[0]!.temperature, curve.points.at(-1)!.temperature];
  const assumed = { low: 273.15, high: 373.15 };
  const outermost = (end: 'low' | 'high'): Operand =>
    points.length > 1
      ? { canonical: end === 'low' ? coldest : hottest, node }
      : { canonical: assumed[end], how: 'assumed, as the sensor states no range' };
  return {
    low: temperatureIn(sensor.minimum) ?? outermost('low'),
    high: temperatureIn(sensor.maximum) ?? outermost('high'),
  };
}

/** The resistance of the curve at a temperature. */
function resistanceAt({ curve, node }: Thermistor, temperature: Operand): Operand | undefined {
  const canonical = physics.thermistorResistance(curve, temperature.canonical);
  if (canonical === undefined) return undefined;
  return { canonical, node, how: `curve at ${formatQuantity(temperature.canonical, '°C')}` };
}

type End = 'low' | 'high';

function voltsAt(installation: Installation, thermistor: Thermistor, end: End): Result | undefined {
  const { sensor } = thermistor;
  return apply(dividerVoltage, {
    resistance: resistanceAt(thermistor, span(thermistor)[end]),
    pullUp: pullUpOf(installation, sensor),
    supply: sensor.supply,
  });
}

/** A value of every thermistor, placed at its points. */
function perThermistor(
  id: string,
  label: string,
  compute: (thermistor: Thermistor, installation: Installation) => Result | undefined,
): FileValue {
  return {
    id,
    label,
    derive: ({ installation }) =>
      thermistors(installation).flatMap((thermistor) => {
        const result = compute(thermistor, installation);
        return result ? [derivedValue({ id, label }, result, thermistor.node)] : [];
      }),
  };
}

export const thermistorVoltsCold = perThermistor(
  'thermistor_volts_cold',
  'Thermistor voltage at the cold end',
  (thermistor, installation) => voltsAt(installation, thermistor, 'low'),
);

export const thermistorVoltsHot = perThermistor(
  'thermistor_volts_hot',
  'Thermistor voltage at the hot end',
  (thermistor, installation) => voltsAt(installation, thermistor, 'high'),
);

/** Error of the fitted curve at each point, placed at the point. An exact fit, to two or three points, has none. */
export const thermistorFitError: FileValue = {
  id: 'thermistor_fit_error',
  label: 'Error of the Steinhart–Hart curve at this point',
  derive: ({ installation }) =>
    thermistors(installation).flatMap(({ sensor, curve }) => {
      const points = sensor.resistance!.points;
      if (curve.method !== 'least-squares') return [];
      const how = `least-squares fit to ${points.length} points`;
      const fitted = (canonical: number) => ({ canonical, node: sensor.resistance!.node, how });
      return points.flatMap(({ from, to, key, value }) => {
        const result = apply(physics.thermistorFitError, {
          resistance: { canonical: to.canonical, node: value },
          a: fitted(curve.a),
          b: fitted(curve.b),
          c: fitted(curve.c),
          temperature: { canonical: from.canonical, node: key },
        });
        return result ? [derivedValue(thermistorFitError, result, value)] : [];
      });
    }),
};

/** The temperature change per converter step at the hot end, where the resistance is small against the pull-up. */
export const thermistorResolutionHot = perThermistor(
  'thermistor_resolution_hot',
  'Temperature per count at the hot end',
  (thermistor, installation) => {
    const { sensor, curve, node } = thermistor;
    const hot = span(thermistor).high;
    return apply(physics.kelvinPerStep, {
      temperature: hot,
      resistance: resistanceAt(thermistor, hot),
      b: { canonical: curve.b, node, how: 'fitted curve' },
      c: { canonical: curve.c, node, how: 'fitted curve' },
      pullUp: pullUpOf(installation, sensor),
      supply: sensor.supply,
      step: inputStep(installation, sensor),
    });
  },
);

/** The measuring current heats a sensor most when its resistance equals the pull-up. */
export const thermistorSelfHeating = perThermistor(
  'thermistor_self_heating',
  'Highest thermistor self-heating in the sensor range',
  (thermistor, installation) => {
    const pullUp = pullUpOf(installation, thermistor.sensor);
    const { low, high } = span(thermistor);
    const cold = resistanceAt(thermistor, low);
    const hot = resistanceAt(thermistor, high);
    if (!pullUp || !cold || !hot) return undefined;
    const canonical = Math.min(Math.max(pullUp.canonical, hot.canonical), cold.canonical);
    const resistance = {
      canonical,
      node: thermistor.node,
      how: 'resistance in the sensor range closest to the pull-up',
    };
    return apply(selfHeatingPower, { resistance, pullUp, supply: thermistor.sensor.supply });
  },
);
