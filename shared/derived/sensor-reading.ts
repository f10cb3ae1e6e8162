import type { ControllerConfiguration, Sensor } from '../../generated/configuration.ts';
import { dividerResistance } from '../physics/divider.ts';
import { rtdTemperature } from '../physics/rtd.ts';
import { scaledValue } from '../physics/sensor-scaling.ts';
import { fitThermistor, type ThermistorCurve, thermistorTemperature } from '../physics/thermistor.ts';
import { measuredQuantity, type Quantity } from '../quantity/index.ts';
import type { PressureReference } from '../quantity/kinds.ts';
import type { Operand } from './value.ts';

/** Volts, the lower first. */
export type Span = readonly [low: number, high: number];

/** The input that a sensor is wired to, where a controller file knows the pin. */
export function inputOf(sensor: Sensor, controller: ControllerConfiguration | undefined) {
  return sensor.pin && controller?.pins?.[sensor.pin.text];
}

/** What the input of a sensor can see, in V: the range of its pin or, where that is not known, up to its supply. */
export function inputSpan(sensor: Sensor, controller: ControllerConfiguration | undefined): Span | undefined {
  const range = inputOf(sensor, controller)?.range;
  if (range?.low.unit?.dimension === 'voltage') return [range.low.canonical, range.high.canonical];
  return sensor.supply && [0, sensor.supply.canonical];
}

/** A sensor's value as a limit or a lookup may use it; a pressure knows what it is measured from. */
export interface SensorValue extends Operand {
  readonly quantity?: { readonly reference?: PressureReference };
}

/**
 * What a sensor reports (canonical unit of its quantity) at an input voltage; undefined for a kind that is not read in
 * volts, and where what its curve needs is not written.
 */
export function sensorValueAt(
  sensor: Sensor,
  volts: number,
  controller: ControllerConfiguration | undefined,
): SensorValue | undefined {
  const canonical = sensor.scaling ? scaled(sensor, volts) : temperatureAt(sensor, volts, controller);
  if (canonical === undefined || !Number.isFinite(canonical)) return undefined;
  return { canonical, ...(sensor.scaling && { quantity: sensor.scaling.points[0]!.to }) };
}

function scaled({ scaling }: Sensor, volts: number): number | undefined {
  const points = scaling?.points ?? [];
  return scaledValue(
    points.map(({ from, to }) => ({ input: from.canonical, value: to.canonical })),
    volts,
  );
}

/** The temperature (K) that a resistive sensor under its pull-up shows at an input voltage. */
function temperatureAt(
  sensor: Sensor,
  volts: number,
  controller: ControllerConfiguration | undefined,
): number | undefined {
  const pullUp = sensor.pull_up ?? inputOf(sensor, controller)?.pull_up;
  // A divider that states no supply is fed with what its input can read to.
  const supply = sensor.supply?.canonical ?? inputSpan(sensor, controller)?.[1];
  if (!pullUp || supply === undefined) return undefined;
  const resistance = dividerResistance({ voltage: volts, pullUp: pullUp.canonical, supply });
  if (!(resistance > 0)) return undefined;
  if (sensor.kind?.text === 'rtd') return platinumTemperature(sensor, resistance);
  const curve = thermistorCurve(sensor);
  return curve && thermistorTemperature(curve, resistance);
}

function platinumTemperature({ nominal, resistance }: Sensor, ohm: number): number | undefined {
  const atZero = nominal?.canonical ?? resistance?.points.find(({ from }) => from.canonical === 273.15)?.to.canonical;
  return atZero === undefined ? undefined : rtdTemperature(ohm, atZero);
}

/** The curve through a thermistor's points, or through its one point by its beta. */
function thermistorCurve({ resistance, beta }: Sensor): ThermistorCurve | undefined {
  const points = (resistance?.points ?? []).map(({ from, to }) => ({
    temperature: from.canonical,
    resistance: to.canonical,
  }));
  const [only] = points;
  if (points.length > 1 || !only || !beta) return fitThermistor(points);
  // A second point on the same beta curve, a factor of e away, makes it the curve through two.
  const other = 1 / (1 / only.temperature + 1 / beta.canonical);
  return fitThermistor([only, { temperature: other, resistance: only.resistance * Math.E }]);
}

/** What a sensor can report, and why no further. */
export interface Reportable {
  readonly low: number;
  readonly high: number;
  readonly reference: PressureReference | undefined;
  /** `0.2..4.8 V`, `its maximum`: what ends it. */
  readonly by: string;
}

/**
 * The values (canonical) that a sensor can report: those inside its fault bounds or the input's span, within the
 * `minimum`, `maximum` and `range` that it states. Undefined where nothing says how far it reads.
 */
export function reportable(
  sensor: Sensor,
  controller: ControllerConfiguration | undefined,
): Reportable | undefined {
  const bounds = sensor.fault_outside;
  const span: Span | undefined = bounds
    ? [bounds.low.canonical, bounds.high.canonical]
    : inputSpan(sensor, controller);
  const ends = (span ?? []).map((volts) => sensorValueAt(sensor, volts, controller));
  const values = ends.flatMap((end) => (end ? [end.canonical] : []));
  const byVolts = values.length === 2 ? values : [];
  const input = inputOf(sensor, controller)?.range;
  // The input of a thermocouple states its range in degrees.
  const byDegrees = input?.low.unit?.dimension === 'temperature' ? input : undefined;
  const lows = [sensor.minimum, sensor.range?.low, byDegrees?.low].flatMap((end) => end?.canonical ?? []);
  const highs = [sensor.maximum, sensor.range?.high, byDegrees?.high].flatMap((end) => end?.canonical ?? []);
  const low = Math.max(byVolts.length ? Math.min(...byVolts) : Number.NEGATIVE_INFINITY, ...lows);
  const high = Math.min(byVolts.length ? Math.max(...byVolts) : Number.POSITIVE_INFINITY, ...highs);
  if (low === Number.NEGATIVE_INFINITY && high === Number.POSITIVE_INFINITY) return undefined;
  const stated: Quantity | undefined = sensor.maximum?.quantity ?? sensor.minimum?.quantity ?? sensor.range?.high;
  return {
    low,
    high,
    reference: ends[0]?.quantity?.reference ?? stated?.reference,
    by: bounds ? `within its fault bounds of ${bounds.node.text}` : 'by its scaling or range',
  };
}

/** The sensors of an engine that measure a quantity; a name without a number stands for each of several alike. */
export function sensorsOf(
  sensors: Readonly<Record<string, Sensor>> | undefined,
  quantity: string,
): [name: string, sensor: Sensor][] {
  const wanted = measuredQuantity(quantity);
  return Object.entries(sensors ?? {}).filter(([, sensor]) => {
    const measured = sensor?.measures && measuredQuantity(sensor.measures.text);
    return (
      measured !== undefined &&
      measured.entry === wanted?.entry &&
      (wanted.index === undefined || measured.index === undefined || measured.index === wanted.index)
    );
  });
}
