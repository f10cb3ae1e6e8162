import type { EngineConfiguration, Sensor } from '../../generated/configuration.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { memo } from '../memo.ts';
import { dividerResistance } from '../physics/divider.ts';
import { rtdTemperature } from '../physics/rtd.ts';
import { scaledValue } from '../physics/sensor-scaling.ts';
import { thermistorTemperature } from '../physics/thermistor.ts';
import { measuredQuantity } from '../quantity/index.ts';
import type { PressureReference } from '../quantity/kinds.ts';
import { inputRange, pinOf, pullUpOf, type Wired } from './sensor-input.ts';
import { scalingPoints } from './sensor-scaling.ts';
import { resistanceAtZero } from './temperature-sensors.ts';
import { thermistorOf } from './thermistors.ts';
import type { Operand } from './value.ts';

/** Volts, the lower first. */
export type Span = readonly [low: number, high: number];

/**
 * The input range of a sensor in V: that of its pin or, if unknown, from 0 to its supply.
 */
export function inputSpan(installation: Wired, sensor: Sensor): Span | undefined {
  const range = inputRange(installation, sensor);
  if (range) return [range.low.canonical, range.high.canonical];
  return sensor.supply && [0, sensor.supply.canonical];
}

/** A sensor's value for use in a limit or a table; a pressure has its reference. */
export type SensorValue = Operand;

/**
 * The reading of a sensor (canonical unit of its quantity) at an input voltage; undefined for a kind that is not read as
 * a voltage, and if data for its curve is missing.
 */
export function sensorValueAt(installation: Wired, sensor: Sensor, volts: number): SensorValue | undefined {
  const { scaling } = sensor;
  const canonical = scaling
    ? scaledValue(scalingPoints(sensor), volts)
    : temperatureAt(installation, sensor, volts);
  if (canonical === undefined || !Number.isFinite(canonical)) return undefined;
  const reference = scaling?.points[0]?.to.reference;
  return { canonical, ...(reference && { reference }) };
}

/** Pull-up (ohm) and supply (V) of a resistive sensor. */
export function dividerOf(
  installation: Wired,
  sensor: Sensor,
): { readonly pullUp: number; readonly supply: number } | undefined {
  const pullUp = pullUpOf(installation, sensor)?.canonical;
  // A divider without a stated supply is taken to use the upper end of the input range.
  const supply = sensor.supply?.canonical ?? inputSpan(installation, sensor)?.[1];
  return pullUp === undefined || supply === undefined ? undefined : { pullUp, supply };
}

/** The temperature (K) of a resistive sensor with its pull-up at an input voltage. */
function temperatureAt(installation: Wired, sensor: Sensor, volts: number): number | undefined {
  const divider = dividerOf(installation, sensor);
  return divider && temperatureOf(installation, sensor, dividerResistance({ voltage: volts, ...divider }));
}

/** The temperature (K) of a resistive sensor at a resistance (ohm); undefined without its curve. */
export function temperatureOf(installation: Wired, sensor: Sensor, resistance: number): number | undefined {
  if (!(resistance > 0) || !Number.isFinite(resistance)) return undefined;
  const atZero = sensor.kind?.text === 'rtd' ? resistanceAtZero(sensor) : undefined;
  if (atZero) return rtdTemperature(resistance, atZero.canonical);
  const thermistor = thermistorOf(installation, sensor);
  return thermistor && thermistorTemperature(thermistor.curve, resistance);
}

/** The values that a sensor can report. */
export interface Reportable {
  readonly low: number;
  readonly high: number;
  readonly reference: PressureReference | undefined;
  /** What limits them at each end, to follow "reads up to 250 kPa abs". */
  readonly by: Readonly<Record<'low' | 'high', string>>;
}

/**
 * The values (canonical) that a sensor can report: those inside its fault bounds or the input's span, and
 * within its stated `minimum`, `maximum` and `range`. Undefined if nothing limits them.
 */
export function reportable(installation: Wired, sensor: Sensor): Reportable | undefined {
  const bounds = sensor.fault_outside;
  const span: Span | undefined = bounds
    ? [bounds.low.canonical, bounds.high.canonical]
    : inputSpan(installation, sensor);
  const ends = (span ?? []).flatMap((volts) => sensorValueAt(installation, sensor, volts) ?? []);
  const byVolts = ends.length === 2 ? ends.map(({ canonical }) => canonical) : [];
  const input = pinOf(installation, sensor)?.range;
  // The input range of a thermocouple is in degrees.
  const byDegrees = input?.low.unit?.dimension === 'temperature' ? input : undefined;
  const curve = sensor.scaling ? accordingTo('scaling') : 'according to its resistance curve';
  const byBounds = bounds ? `within its fault bounds of ${bounds.node.text}` : curve;
  const endsOf = (side: 'low' | 'high', stated: 'minimum' | 'maximum', extreme: typeof minimumOf): End[] => [
    ...(byVolts.length > 0 ? [{ canonical: extreme(byVolts), by: byBounds }] : []),
    ...endOf(sensor[stated], accordingTo(stated)),
    ...endOf(sensor.range?.[side], accordingTo('range')),
    ...endOf(byDegrees?.[side], 'according to the range of its input'),
  ];
  const lows = endsOf('low', 'minimum', minimumOf);
  const highs = endsOf('high', 'maximum', maximumOf);
  if (lows.length + highs.length === 0) return undefined;
  const low = lows.reduce((one, other) => (other.canonical > one.canonical ? other : one), NO_LOW_END);
  const high = highs.reduce((one, other) => (other.canonical < one.canonical ? other : one), NO_HIGH_END);
  const stated = sensor.maximum?.quantity ?? sensor.minimum?.quantity ?? sensor.range?.high;
  return {
    low: low.canonical,
    high: high.canonical,
    reference: ends[0]?.reference ?? stated?.reference,
    by: { low: low.by, high: high.by },
  };
}

/** An end of what a sensor can report, and what sets it. */
interface End {
  readonly canonical: number;
  readonly by: string;
}

const NO_LOW_END: End = { canonical: Number.NEGATIVE_INFINITY, by: '' };
const NO_HIGH_END: End = { canonical: Number.POSITIVE_INFINITY, by: '' };

const endOf = (end: { readonly canonical: number } | undefined, by: string): End[] =>
  end ? [{ canonical: end.canonical, by }] : [];

/** The words for an end that a key of the sensor sets. */
export const accordingTo = (key: string): string => `according to its \`${key}\``;

/** The sensors that measure a quantity; a name without an index matches every index. */
export function sensorsMeasuring(
  { sensors }: EngineConfiguration,
  quantity: string,
): [name: string, sensor: Sensor][] {
  const wanted = measuredQuantity(quantity);
  const alike = (sensors && wanted && sensorsByQuantity(sensors).get(wanted.entry.name)) ?? [];
  return alike.filter(([, { measures }]) => {
    const index = measures && measuredQuantity(measures.text)?.index;
    return wanted?.index === undefined || index === undefined || index === wanted.index;
  });
}

export type NamedSensor = [name: string, sensor: Sensor];

/**
 * The sensors of each quantity, by its name without an index. Cached by section.
 */
export const sensorsByQuantity = memo((sensors: NonNullable<EngineConfiguration['sensors']>) => {
  const named = new Map<string, NamedSensor[]>();
  for (const [name, sensor] of Object.entries(sensors)) {
    const quantity = sensor?.measures && measuredQuantity(sensor.measures.text)?.entry.name;
    if (!quantity) continue;
    const alike = named.get(quantity);
    if (alike) alike.push([name, sensor]);
    else named.set(quantity, [[name, sensor]]);
  }
  return named;
});
